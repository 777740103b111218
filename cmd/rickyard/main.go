// Command rickyard turns one farm's YAML data and Markdown chapters into a
// workbook of static pages.
package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"

	"github.com/alecthomas/kong"

	"rickyard/calc/source"
	"rickyard/templates"
)

// version is the program's own; a release sets it with -ldflags.
var version = "0.1"

type commands struct {
	Dir     string      `help:"The workbook's folder: the one that holds data and content." default:"." type:"path" placeholder:"DIR"`
	All     bool        `help:"Fold nothing: every mistake and warning, with all places that need what is wrong; of explain, every step and input."`
	Version versionFlag `help:"Show the version, and stop."`
	Notices noticesFlag `help:"With --version: also show the licences of all that is built in."`

	Build     buildCommand     `cmd:"" help:"Work out every figure and write the workbook."`
	Watch     watchCommand     `cmd:"" help:"Build, serve the workbook to this computer alone, and build again whenever a file is saved."`
	Print     printCommand     `cmd:"" help:"Print the book to a PDF, with page numbers in contents and index, through an installed browser."`
	Cover     coverCommand     `cmd:"" help:"Work out the spine, the weight of a copy and its postage step, and draw the cover sheet."`
	Ebook     ebookCommand     `cmd:"" help:"Write the book as an EPUB, for reading devices."`
	Begin     beginCommand     `cmd:"" help:"Write a starter workbook (an invented farm) into a new folder, to edit."`
	Explain   explainCommand   `cmd:"" help:"Say where a figure comes from, down to the inputs."`
	Try       tryCommand       `cmd:"" help:"Work the whole workbook out under other values and say what changes. Nothing is written."`
	Schema    schemaCommand    `cmd:"" help:"Print the JSON Schema of the data files, for editors that check as you type."`
	Functions functionsCommand `cmd:"" help:"Say what formulas can call: what each function gives, needs and rests on."`
	Tools     toolsCommand     `cmd:"" help:"Say what is missing on this machine (browser, chart script) and how to get it."`
	Complete  completeCommand  `cmd:"" help:"Print a script by which a shell completes commands and options."`
	Manual    manualCommand    `cmd:"" help:"Print the manual page, for man: rickyard manual > rickyard.1"`
}

// A versionFlag shows the version; a noticesFlag the licences too.
type (
	versionFlag bool
	noticesFlag bool
)

// BeforeReset stops before a command is asked for.
func (versionFlag) BeforeReset(app *kong.Kong, context *kong.Context) error {
	fmt.Fprintln(app.Stdout, "rickyard "+version)
	if slices.Contains(context.Args, "--notices") {
		fmt.Fprint(app.Stdout, "\n"+cmp.Or(templates.Notices(), "This program was built without the licences of its parts; see README.md.\n"))
	}
	app.Exit(0)
	return nil
}

// BeforeReset does what --version --notices does.
func (noticesFlag) BeforeReset(app *kong.Kong, context *kong.Context) error {
	context.Args = append(context.Args, "--notices")
	return versionFlag(true).BeforeReset(app, context)
}

func main() {
	// The chart script allocates much and keeps little: collecting less often
	// saves a quarter of a build's work for some tens of megabytes.
	debug.SetGCPercent(400)
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// run carries out one command line and returns its exit code: 0 for done, 1
// for mistakes in the farm's files or another failure, 2 for a command line
// that can't be understood.
func run(args []string, out, errOut io.Writer) int {
	c := newConsole(out, errOut)
	var cmd commands
	exit := -1
	parser, err := kong.New(&cmd,
		kong.Name("rickyard"),
		kong.Description("Turns a farm's YAML data and Markdown chapters into a workbook in which every number is worked out."),
		kong.Writers(out, errOut),
		kong.Exit(func(code int) { exit = code }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.Bind(c),
	)
	if err != nil {
		fmt.Fprintln(errOut, "rickyard:", err)
		return 2
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	context, err := parser.Parse(args)
	c.all = cmd.All
	if exit >= 0 {
		return exit
	}
	if err != nil {
		fmt.Fprintf(errOut, "rickyard: %v\nrickyard --help lists what it can do\n", err)
		return 2
	}
	if err := context.Run(&cmd); err != nil {
		c.report(err)
		if isMistake(err) && context.Command() == "build" {
			fmt.Fprintln(errOut, "The last finished workbook stays as it was.")
		}
		return 1
	}
	return 0
}

// mostReported is how many mistakes, and how many warnings, are shown where not
// all are asked for: a long list hides the first, which often causes the rest.
const mostReported = 50

// report shows what went wrong: each mistake with the user's own line and a
// caret.
func (c *console) report(err error) {
	var errs source.Errors
	var one *source.Error
	switch {
	case errors.As(err, &errs):
	case errors.As(err, &one):
		errs = source.Errors{one}
	default:
		fmt.Fprintln(c.err, c.paintErr(red, "rickyard:"), err)
		return
	}
	errs = errs.Of(source.Mistake).Causes()
	c.show(errs)
	fmt.Fprintln(c.err, c.paintErr(red, "rickyard:"), mistakes(len(errs)))
}

// warn shows what is possible but hardly meant, and nobody has said is.
func (c *console) warn(errs source.Errors) {
	open := slices.DeleteFunc(slices.Clone(errs), func(e *source.Error) bool { return e.Answer != "" })
	c.show(open.Of(source.Warning).Sorted())
}

func (c *console) show(errs source.Errors) {
	for i, e := range errs {
		switch {
		case c.all:
			fmt.Fprint(c.err, c.paintPlace(e.Everything()))
		case i < mostReported:
			fmt.Fprint(c.err, c.paintPlace(e.Detail()))
		default:
			fmt.Fprintf(c.err, "and %d more; --all lists them\n", len(errs)-i)
			return
		}
	}
}
