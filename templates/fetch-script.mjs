// Run by go generate after npm ci: makes the chart script of the parts that the
// charts use, and copies the licences that must travel with it, into the folder
// that the program embeds.

import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

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
]) {
  copyFileSync(join(modules, from), join(out, to));
}
// The script comes last: a program built after a run that failed half way then
// says that its script is missing.
await build({
  stdin: {
    resolveDir: here,
    contents: `
      import { use, init, setPlatformAPI } from "echarts/core";
      import { BarChart, LineChart, ScatterChart, HeatmapChart, CustomChart } from "echarts/charts";
      import { GridComponent, VisualMapPiecewiseComponent } from "echarts/components";
      import { SVGRenderer } from "echarts/renderers";
      use([BarChart, LineChart, ScatterChart, HeatmapChart, CustomChart, GridComponent, VisualMapPiecewiseComponent, SVGRenderer]);
      globalThis.echarts = { init, setPlatformAPI };`,
  },
  bundle: true, minify: true, format: "iife", target: "es2017", legalComments: "none", logLevel: "error",
  define: { "process.env.NODE_ENV": '"production"' },
  outfile: join(out, "echarts.min.js"),
});
writeFileSync(join(out, "VERSION"), `Apache ECharts ${found}\n`);
