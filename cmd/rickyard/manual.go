package main

import (
	"fmt"
	"strings"

	"github.com/alecthomas/kong"
)

type manualCommand struct{}

// Run prints the manual page.
func (*manualCommand) Run(ctx *kong.Context, c *console) error {
	_, err := fmt.Fprint(c.out, manualPage(ctx.Model.Help, verbsOf(ctx.Model)))
	return err
}

// roff writes a text so that roff shows it as it is.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = `\&` + text
	}
	return text
}

func manualPage(about string, verbs []verb) string {
	var b strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	options := func(list []option) {
		for _, o := range list {
			if o.name == "help" {
				continue
			}
			put(".TP")
			if o.value == "" {
				put(`\fB\-\-%s\fR`, roff(o.name))
			} else {
				put(`\fB\-\-%s\fR \fI%s\fR`, roff(o.name), roff(o.value))
			}
			put("%s", roff(o.help))
		}
	}
	put(`.TH RICKYARD 1 "" "rickyard %s"`, version)
	put(".SH NAME\nrickyard \\- %s", roff(strings.ToLower(about[:1])+strings.TrimSuffix(about[1:], ".")))
	put(".SH SYNOPSIS\n.B rickyard\n[\\fIoptions\\fR] \\fIcommand\\fR [\\fIarguments\\fR]")
	put(".SH DESCRIPTION\nA workbook is a folder with the farm's figures in \\fIdata\\fR and the chapters in \\fIcontent\\fR.")
	put("The commands read them and write pages, a printed book or an e\\-book. Every number of the")
	put("result can be asked where it came from. If there is a mistake in the files, all mistakes are shown")
	put("together and nothing is written.")
	put(".SH OPTIONS")
	options(verbs[0].options)
	put(".SH COMMANDS")
	for _, v := range verbs[1:] {
		line := `\fB` + roff(v.name) + `\fR`
		for _, a := range v.args {
			if a.optional {
				line += ` [\fI` + roff(a.name) + `\fR]`
			} else {
				line += ` \fI` + roff(a.name) + `\fR`
			}
		}
		put(".SS %s", line)
		put("%s", roff(v.help))
		for _, a := range v.args {
			put(".TP\n\\fI%s\\fR\n%s", roff(a.name), roff(a.help))
		}
		options(v.options)
	}
	put(".SH EXIT STATUS\n0 done; 1 mistakes in the workbook's files, or another failure; 2 a command line that can't be understood.")
	put(".SH ENVIRONMENT\n.TP\n.B %s\nThe browser to print with.\n.TP\n.B NO_COLOR\nIf it is set, messages have no colours.", browserVariable)
	put(".SH FILES\n.TP\n.I data/farm.yaml\nThe farm; beside it prices.yaml, climate.yaml, infrastructure.yaml, finance.yaml, cases.yaml and enterprises/*.yaml.")
	put(".TP\n.I content/NN\\-name.md\nThe chapters; beside them cautions.yaml and glossary.yaml.\n.TP\n.I public\nThe finished workbook.")
	return b.String()
}
