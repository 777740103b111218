//go:build ignore

// Run by go generate: writes the licences and notices of all that is linked into
// the program, for any of the systems it is built for, to the folder that the
// program embeds.
package main

import (
	"bytes"
	"fmt"
	"log"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
)

var (
	systems = []string{"linux", "darwin", "windows"}
	asks    = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)`)
)

func main() {
	log.SetFlags(0)
	// By title, such as a module and its version, the texts that go with it.
	texts := map[string][]string{}
	add := func(title, file string) {
		text, err := os.ReadFile(file)
		if err != nil {
			log.Fatal(err)
		}
		// A tab, a line's end and a blank may differ; words may not.
		clean := strings.TrimSpace(strings.ReplaceAll(string(text), "\r\n", "\n"))
		if !slices.Contains(texts[title], clean) {
			texts[title] = append(texts[title], clean)
		}
	}
	for _, file := range []string{"LICENSE", "PATENTS"} {
		add("Go and its library "+strings.TrimPrefix(runtime.Version(), "go"), filepath.Join(runtime.GOROOT(), file))
	}
	for _, system := range systems {
		for _, line := range linked(system) {
			parts := strings.Split(line, "\t")
			title, root, dir := parts[0], parts[1], parts[2]
			for ; len(dir) >= len(root); dir = filepath.Dir(dir) {
				entries, err := os.ReadDir(dir)
				if err != nil {
					log.Fatal(err)
				}
				for _, e := range entries {
					if !e.IsDir() && asks.MatchString(e.Name()) {
						add(title, filepath.Join(dir, e.Name()))
					}
				}
			}
			if len(texts[title]) == 0 {
				log.Fatalf("%s has no licence; see whether it may be used", title)
			}
		}
	}
	var out bytes.Buffer
	for _, title := range slices.Sorted(maps.Keys(texts)) {
		fmt.Fprintf(&out, "%s\n\n%s\n\n", title, strings.Join(texts[title], "\n\n"))
	}
	if err := os.WriteFile(filepath.Join("script", "LICENSES-modules"), out.Bytes(), 0o644); err != nil {
		log.Fatal(err)
	}
}

// linked lists the packages of modules in the program: title, root and folder.
func linked(system string) []string {
	cmd := exec.Command("go", "list", "-deps", "-f", `{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{"\t"}}{{.Dir}}{{"\t"}}{{$.Dir}}{{end}}{{end}}`, "rickyard/cmd/rickyard")
	cmd.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
	cmd.Stderr = os.Stderr
	list, err := cmd.Output()
	if err != nil {
		log.Fatal(err)
	}
	return strings.FieldsFunc(string(list), func(r rune) bool { return r == '\n' })
}
