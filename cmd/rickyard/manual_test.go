package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

func spoken(t *testing.T, args ...string) string {
	t.Helper()
	var out strings.Builder
	if code := run(args, &out, &out); code != 0 {
		t.Fatalf("%q: code %d\n%s", args, code, out.String())
	}
	return out.String()
}

func everyVerb(t *testing.T) []verb {
	t.Helper()
	var cmd commands
	parser, err := kong.New(&cmd, kong.Name("rickyard"), kong.Vars{"version": "x"})
	if err != nil {
		t.Fatal(err)
	}
	return verbsOf(parser.Model)
}

// Every command and option stands in the manual page and in each completion.
func TestManualAndCompletionAreWhole(t *testing.T) {
	page := strings.ReplaceAll(spoken(t, "manual"), `\-`, "-")
	texts := map[string]string{"manual": page}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		texts[shell] = spoken(t, "complete", shell)
	}
	verbs := everyVerb(t)
	if len(verbs) < 8 {
		t.Fatalf("%d commands", len(verbs))
	}
	for name, text := range texts {
		for _, v := range verbs {
			if v.help == "" && v.name != "rickyard" {
				t.Errorf("%s has no help", v.name)
			}
			if !strings.Contains(text, v.name) {
				t.Errorf("%s: no command %s", name, v.name)
			}
			for _, o := range v.options {
				want := "--" + o.name
				if name == "fish" {
					want = "-l " + o.name
				}
				if !strings.Contains(text, want) && !(name == "manual" && o.name == "help") {
					t.Errorf("%s: %s has no option %s", name, v.name, o.name)
				}
			}
		}
	}
	for _, line := range strings.Split(page, "\n") {
		if strings.HasPrefix(line, ".") && !strings.HasPrefix(line, ".TH") && !strings.HasPrefix(line, ".SH") && !strings.HasPrefix(line, ".SS") && line != ".TP" && !strings.HasPrefix(line, ".B ") && !strings.HasPrefix(line, ".I ") {
			t.Errorf("a line of the manual begins like a request: %s", line)
		}
	}
}

func TestCompletionInBash(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash on this machine")
	}
	file := filepath.Join(t.TempDir(), "complete.bash")
	if err := os.WriteFile(file, []byte(spoken(t, "complete", "bash")), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ words, want string }{
		{"rickyard pri", "print"},
		{"rickyard print --pa", "--part --paper"},
		{"rickyard --dir x ebook --o", "--out"},
		{"rickyard complete z", "zsh"},
		{"rickyard --v", "--version"},
	} {
		script := `source "$1"; read -ra COMP_WORDS <<< "$2"; COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _rickyard; echo "${COMPREPLY[*]}"`
		cmd := exec.Command(bash, "-c", script, "bash", file, c.words)
		cmd.Dir = t.TempDir()
		out, err := cmd.CombinedOutput()
		if got := strings.TrimSpace(string(out)); err != nil || got != c.want {
			t.Errorf("%s: got %q (%v), want %q", c.words, got, err, c.want)
		}
	}
}
