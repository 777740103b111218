package data

import "embed"

// Demo is the demo farm's data, to start one's own from: farm.yaml and the
// files beside it.
//
//go:embed *.yaml enterprises/*.yaml
var Demo embed.FS
