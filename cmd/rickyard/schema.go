package main

import "rickyard/data"

type schemaCommand struct {
	File string `arg:"" optional:"" help:"Of which file: farm, prices, climate, infrastructure, finance, cases or enterprise. Left out: of all."`
}

// Run prints the schema.
func (s *schemaCommand) Run(c *console) error {
	raw, err := data.Schema(s.File)
	if err != nil {
		return err
	}
	_, err = c.out.Write(raw)
	return err
}
