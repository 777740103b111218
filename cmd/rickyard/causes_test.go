package main

import (
	"bytes"
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/content"
	"rickyard/data"
)

// demoFiles are the files of the demo workbook, to be broken.
func demoFiles(t *testing.T) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	for folder, demo := range map[string]fs.FS{"data": data.Demo, "content": content.Demo} {
		for name, file := range filesOf(t, demo) {
			files[folder+"/"+name] = file
		}
	}
	return files
}

// filesOf are the files of a folder, to be changed.
func filesOf(t *testing.T, folder fs.FS) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	err := fs.WalkDir(folder, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := fs.ReadFile(folder, name)
		files[name] = &fstest.MapFile{Data: text}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

var (
	places  = regexp.MustCompile(`:[0-9]+:[0-9]+: `)
	counted = regexp.MustCompile(`and ([0-9]+) places that need it`)
	carets  = regexp.MustCompile(`(?m)^ *\^+\n`)
)

// reported is what a command says of a workbook's mistakes, with its places
// and numbers made plain, since the demo's lines move.
func reported(t *testing.T, files fstest.MapFS) string {
	t.Helper()
	_, _, err := loadFrom(files)
	if err == nil {
		t.Fatal("no mistake")
	}
	var out bytes.Buffer
	newConsole(&out, &out).report(err)
	text := places.ReplaceAllString(out.String(), ": ")
	for _, n := range counted.FindAllStringSubmatch(text, -1) {
		if len(n[1]) < 2 {
			t.Errorf("only %s places: %s", n[1], text)
		}
	}
	return carets.ReplaceAllString(counted.ReplaceAllString(text, "and N places that need it"), "")
}

// Enterprises that are taken away are one mistake each, in the data that still
// names them; what needed them is counted behind.
func TestElevenEnterprisesDeleted(t *testing.T) {
	files := demoFiles(t)
	gone := []string{"broilers", "garden", "mushrooms", "beef", "dairy", "microgreens", "nursery", "lamb", "pigs", "timber", "teaching"}
	for _, id := range gone {
		delete(files, "data/enterprises/"+id+".yaml")
	}
	lines := strings.Split(strings.TrimSpace(reported(t, files)), "\n")
	quoted := regexp.MustCompile(`^  \S.*$`)
	var got []string
	for _, line := range lines {
		if !quoted.MatchString(line) || strings.Contains(line, "and N places") || strings.Contains(line, "data/enterprises has") {
			got = append(got, line)
		}
	}
	want := []string{}
	for i, id := range gone {
		file := "data/infrastructure.yaml"
		if i < 3 {
			file = "data/farm.yaml"
		}
		want = append(want, file+": "+id+" is not an enterprise", "  data/enterprises has hens and turkeys", "  and N places that need it")
	}
	want = append(want, "rickyard: 11 mistakes")
	text := strings.Join(got, "\n")
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("no %q", w)
		}
	}
	if strings.Count(text, "is not an enterprise") != len(gone) || strings.Count(text, ".md") > 0 {
		t.Errorf("got\n%s", text)
	}
}

// A slip in one file is one mistake, whoever needs what the file would have
// said.
func TestOneSlipIsOneMistake(t *testing.T) {
	for _, c := range []struct{ name, file, old, new, want string }{
		{"a colon in the cautions", "content/cautions.yaml", "  text: |\n", "  text: Take care: it is hot\n", `content/cautions.yaml: a colon is out of place here: this line is indented wrongly, or a text that contains a colon lacks quotes
    text: Take care: it is hot
  line the key up with its neighbours, or put the text in quotes
  and N places that need it
rickyard: 1 mistake
`},
		{"a decimal comma in an enterprise", "data/enterprises/broilers.yaml", "  live_weight: {", "  live_weight: 2,9 kg/bird\n  was: {", `data/enterprises/broilers.yaml: live weight: "2,9 kg/bird" has a decimal comma; write it with a point
    live_weight: 2,9 kg/bird
  and N places that need it
rickyard: 1 mistake
`},
		{"a name in an enterprise", "data/enterprises/broilers.yaml", "  carcass: {formula: sold * live_weight", "  carcass: {formula: sold * live_wieght", `data/enterprises/broilers.yaml: no figure is called live_wieght
    carcass: {formula: sold * live_wieght * killing_out, label: Carcass weight sold}
  did you mean live_weight?
  and N places that need it
rickyard: 1 mistake
`},
		{"a tab in an enterprise", "data/enterprises/broilers.yaml", "\nlines:\n", "\nlines:\n\t- x\n", `data/enterprises/broilers.yaml: there is a tab in the indentation; YAML allows only spaces there
   - x
  replace it by spaces
  and N places that need it
rickyard: 1 mistake
`},
		{"a unit in farm.yaml", "data/farm.yaml", "  wage: {value: 13.20 GBP/h,", "  wage: {value: 13.20 GBP,", `data/farm.yaml: the wage is in GBP; expected money for a time such as 12.50 GBP/h
    wage: {value: 13.20 GBP, low: 12.60 GBP/h, high: 15.00 GBP/h, source: going rate for farm work in the district, as_of: 2026-04}
  and N places that need it
rickyard: 1 mistake
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := demoFiles(t)
			text := string(files[c.file].Data)
			if !strings.Contains(text, c.old) {
				t.Fatalf("the demo has no %q", c.old)
			}
			files[c.file] = &fstest.MapFile{Data: []byte(strings.Replace(text, c.old, c.new, 1))}
			if got := reported(t, files); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}
