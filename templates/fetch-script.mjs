// Run by go generate after npm ci: copies the chart script and the licences
// that must travel with it into the folder that the program embeds.

import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const modules = join(here, "node_modules");
const out = join(here, "script");

const wanted = JSON.parse(readFileSync(join(here, "package.json"), "utf8")).dependencies.echarts;
const found = JSON.parse(readFileSync(join(modules, "echarts", "package.json"), "utf8")).version;
if (found !== wanted) {
  console.error(`echarts ${found} was installed, but package.json asks for ${wanted}`);
  process.exit(1);
}

mkdirSync(out, { recursive: true });
for (const [from, to] of [
  ["echarts/LICENSE", "LICENSE"],
  ["echarts/NOTICE", "NOTICE"],
  ["echarts/licenses/LICENSE-d3", "LICENSE-d3"],
  ["zrender/LICENSE", "LICENSE-zrender"],
  ["tslib/LICENSE.txt", "LICENSE-tslib"],
  // The script comes last: a program built after a copy that failed half way
  // then says that its script is missing.
  ["echarts/dist/echarts.min.js", "echarts.min.js"],
]) {
  copyFileSync(join(modules, from), join(out, to));
}
writeFileSync(join(out, "VERSION"), `Apache ECharts ${found}\n`);
