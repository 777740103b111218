package content

import "embed"

// Demo is the demo workbook's chapters, to start one's own from.
//
//go:embed all:*.md *.yaml
var Demo embed.FS
