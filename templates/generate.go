package templates

import (
	"embed"
	"strings"
)

// The chart script is pinned by package-lock.json (with its checksum) and
// fetched, never committed. npm checks the download against the lock file.
//
//go:generate npm ci --ignore-scripts --no-audit --no-fund
//go:generate node fetch-script.mjs
//go:generate go run fetch-licences.go

//go:embed all:script
var scriptFiles embed.FS

// scriptFile returns an embedded file of the chart script's folder, or "" if
// the program was built without it.
func scriptFile(name string) string {
	b, err := scriptFiles.ReadFile("script/" + name)
	if err != nil {
		return ""
	}
	return string(b)
}

// ChartScript returns the embedded chart script, or "" if the program was
// built without it.
func ChartScript() string { return scriptFile("echarts.min.js") }

// ChartScriptVersion names the embedded chart script and its version, or is
// empty if the program was built without it.
func ChartScriptVersion() string { return strings.TrimSpace(scriptFile("VERSION")) }

// ChartScriptNotices returns the notice and the licences of the embedded
// chart script and of the works inside it, as their terms ask of a program
// that carries them. It is empty if the program was built without the script.
func ChartScriptNotices() string {
	return texts("NOTICE", "LICENSE", "LICENSE-d3", "LICENSE-zrender", "LICENSE-tslib")
}

// Notices returns those, and those of every module that the program is linked
// from; empty if it was built without them.
func Notices() string {
	modules := texts("LICENSES-modules")
	if modules == "" {
		return ""
	}
	return ChartScriptNotices() + modules
}

func texts(names ...string) string {
	var b strings.Builder
	for _, name := range names {
		if text := strings.TrimSpace(scriptFile(name)); text != "" {
			b.WriteString(text)
			b.WriteString("\n\n")
		}
	}
	return b.String()
}
