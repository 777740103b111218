package data

import "embed"

// Demo is the demo farm's data, to start one's own from: farm.yaml and the
// files beside it.
//
//go:embed *.yaml enterprises/*.yaml records/*.csv
var Demo embed.FS
