package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"rickyard/content"
	"rickyard/data"
)

type beginCommand struct {
	Folder string `arg:"" name:"dir" help:"A folder that is new or empty." type:"path"`
}

// Run writes the demo farm's data and chapters, with the schemas for editors.
func (b *beginCommand) Run(c *console) error {
	entries, err := os.ReadDir(b.Folder)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s is not empty; name a new folder", b.Folder)
	}
	for folder, files := range map[string]fs.FS{"data": data.Demo, "content": content.Demo} {
		if err := os.MkdirAll(b.Folder, 0o755); err != nil {
			return err
		}
		if err := os.CopyFS(filepath.Join(b.Folder, folder), files); err != nil {
			return err
		}
	}
	schemas := filepath.Join(b.Folder, "schema")
	if err := os.MkdirAll(schemas, 0o755); err != nil {
		return err
	}
	for _, kind := range []string{"farm", "prices", "climate", "infrastructure", "finance", "cases", "enterprise"} {
		raw, err := data.Schema(kind)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(schemas, kind+".json"), raw, 0o644); err != nil {
			return err
		}
	}
	fmt.Fprintf(c.out, "%s holds an invented farm to start from.\nEdit the files in %s and %s, then run: rickyard --dir %s build\n",
		b.Folder, filepath.Join(b.Folder, "data"), filepath.Join(b.Folder, "content"), b.Folder)
	return nil
}
