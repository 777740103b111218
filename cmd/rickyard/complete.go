package main

import (
	"fmt"
	"strings"

	"github.com/alecthomas/kong"
)

type completeCommand struct {
	Shell string `arg:"" enum:"bash,zsh,fish,powershell" help:"bash, zsh, fish or powershell."`
}

// Run prints a script by which a shell completes commands and options.
func (s *completeCommand) Run(ctx *kong.Context, c *console) error {
	verbs := verbsOf(ctx.Model)
	var script string
	switch s.Shell {
	case "bash":
		script = bashScript(verbs)
	case "zsh":
		script = zshScript(verbs)
	case "fish":
		script = fishScript(verbs)
	case "powershell":
		script = powershellScript(verbs)
	}
	_, err := fmt.Fprint(c.out, script)
	return err
}

// A verb is a command as shells and the manual see it; the first stands for the
// options before any command.
type verb struct {
	name, help string
	args       []argument
	options    []option
}

type argument struct {
	name, help string
	optional   bool
	values     []string
}

type option struct {
	name, help, value string // value is what comes after it; "" for a switch
	files             bool
}

func verbsOf(app *kong.Application) []verb {
	verbs := []verb{verbOf(app.Node)}
	for _, node := range app.Children {
		if !node.Hidden {
			verbs = append(verbs, verbOf(node))
		}
	}
	return verbs
}

func verbOf(node *kong.Node) verb {
	v := verb{name: node.Name, help: node.Help}
	for _, p := range node.Positional {
		a := argument{name: p.Name, help: p.Help, optional: !p.Required}
		if p.Enum != "" {
			a.values = strings.Split(p.Enum, ",")
		}
		v.args = append(v.args, a)
	}
	for _, f := range node.Flags {
		if f.Hidden {
			continue
		}
		o := option{name: f.Name, help: f.Help}
		if !f.IsBool() {
			if o.value = f.PlaceHolder; o.value == "" {
				o.value = strings.ToUpper(f.Name)
			}
			kind := f.Tag.Type
			o.files = kind == "path" || kind == "existingfile" || f.Name == "browser" || f.Name == "out"
		}
		v.options = append(v.options, o)
	}
	return v
}

func (v verb) optionNames() []string {
	var names []string
	for _, o := range v.options {
		names = append(names, "--"+o.name)
	}
	return names
}

func (v verb) values() []string {
	for _, a := range v.args {
		if len(a.values) > 0 {
			return a.values
		}
	}
	return nil
}

func verbNames(verbs []verb) []string {
	var names []string
	for _, v := range verbs[1:] {
		names = append(names, v.name)
	}
	return names
}

func bashScript(verbs []verb) string {
	var b strings.Builder
	b.WriteString(`# Completion of rickyard for bash: source this file, or put it into
# ~/.local/share/bash-completion/completions/rickyard
_rickyard() {
	local word=${COMP_WORDS[COMP_CWORD]} verb= i
	for ((i = 1; i < COMP_CWORD; i++)); do
		case ${COMP_WORDS[i]} in
		--dir) ((i++)) ;;
		-*) ;;
		*) verb=${COMP_WORDS[i]}; break ;;
		esac
	done
	local offer=
	case $verb in
`)
	fmt.Fprintf(&b, "\t'') offer='%s' ;;\n", strings.Join(append(verbNames(verbs), verbs[0].optionNames()...), " "))
	for _, v := range verbs[1:] {
		offer := append(v.values(), append(v.optionNames(), verbs[0].optionNames()...)...)
		fmt.Fprintf(&b, "\t%s) offer='%s' ;;\n", v.name, strings.Join(offer, " "))
	}
	b.WriteString(`	esac
	COMPREPLY=($(compgen -W "$offer" -- "$word"))
	if [[ -n $verb && $word != -* ]]; then
		COMPREPLY+=($(compgen -f -- "$word"))
	fi
}
complete -o filenames -F _rickyard rickyard
`)
	return b.String()
}

// quoted writes a text in single quotes as shells know them, without what their
// lists of options take for marks.
func quoted(text string) string {
	return "'" + strings.NewReplacer("'", "’", "[", "(", "]", ")", ":", ";").Replace(text) + "'"
}

func zshScript(verbs []verb) string {
	var b strings.Builder
	b.WriteString("#compdef rickyard\n# Completion of rickyard for zsh: put this file as _rickyard into a folder of $fpath.\n_rickyard() {\n\tlocal -a verbs\n\tverbs=(\n")
	for _, v := range verbs[1:] {
		fmt.Fprintf(&b, "\t\t%s\n", quoted(v.name)[:len(v.name)+1]+":"+quoted(v.help)[1:])
	}
	b.WriteString("\t)\n\tlocal state\n\t_arguments -C \\\n")
	options := func(list []option, indent string) {
		for _, o := range list {
			spec := "--" + o.name + "[" + strings.Trim(quoted(o.help), "'") + "]"
			switch {
			case o.files:
				spec += ":" + o.value + ":_files"
			case o.value != "":
				spec += ":" + o.value + ": "
			}
			fmt.Fprintf(&b, "%s'%s' \\\n", indent, spec)
		}
	}
	options(verbs[0].options, "\t\t")
	b.WriteString("\t\t'1:command:->verb' '*::argument:->rest'\n\tcase $state in\n\tverb) _describe command verbs ;;\n\trest)\n\t\tcase $words[1] in\n")
	for _, v := range verbs[1:] {
		fmt.Fprintf(&b, "\t\t%s) _arguments \\\n", v.name)
		options(v.options, "\t\t\t")
		if values := v.values(); len(values) > 0 {
			fmt.Fprintf(&b, "\t\t\t'1:%s:(%s)' ;;\n", v.args[0].name, strings.Join(values, " "))
		} else {
			b.WriteString("\t\t\t'*:file:_files' ;;\n")
		}
	}
	b.WriteString("\t\tesac ;;\n\tesac\n}\nif [[ $funcstack[1] == _rickyard ]]; then _rickyard \"$@\"; else compdef _rickyard rickyard; fi\n")
	return b.String()
}

func fishScript(verbs []verb) string {
	var b strings.Builder
	b.WriteString("# Completion of rickyard for fish: put this file as rickyard.fish into ~/.config/fish/completions\n")
	option := func(when string, o option) {
		fmt.Fprintf(&b, "complete -c rickyard%s -l %s -d %s", when, o.name, quoted(o.help))
		switch {
		case o.files:
			b.WriteString(" -r -F")
		case o.value != "":
			b.WriteString(" -x")
		}
		b.WriteByte('\n')
	}
	for _, o := range verbs[0].options {
		option("", o)
	}
	for _, v := range verbs[1:] {
		fmt.Fprintf(&b, "complete -c rickyard -n __fish_use_subcommand -f -a %s -d %s\n", v.name, quoted(v.help))
		when := fmt.Sprintf(" -n '__fish_seen_subcommand_from %s'", v.name)
		for _, o := range v.options {
			option(when, o)
		}
		if values := v.values(); len(values) > 0 {
			fmt.Fprintf(&b, "complete -c rickyard%s -f -a '%s'\n", when, strings.Join(values, " "))
		}
	}
	return b.String()
}

func powershellScript(verbs []verb) string {
	var b strings.Builder
	b.WriteString("# Completion of rickyard for PowerShell: add this to the file that $PROFILE names.\nRegister-ArgumentCompleter -Native -CommandName rickyard -ScriptBlock {\n    param($word, $line, $place)\n    $offers = @{\n")
	list := func(words []string) string { return "'" + strings.Join(words, "', '") + "'" }
	fmt.Fprintf(&b, "        '' = @(%s)\n", list(append(verbNames(verbs), verbs[0].optionNames()...)))
	for _, v := range verbs[1:] {
		fmt.Fprintf(&b, "        '%s' = @(%s)\n", v.name, list(append(v.values(), append(v.optionNames(), verbs[0].optionNames()...)...)))
	}
	b.WriteString(`    }
    $verb = ''
    foreach ($part in $line.CommandElements | Select-Object -Skip 1) {
        if ($offers.ContainsKey("$part") -and "$part" -ne $word) { $verb = "$part"; break }
    }
    $offers[$verb] | Where-Object { $_ -like "$word*" } | ForEach-Object {
        [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_)
    }
}
`)
	return b.String()
}
