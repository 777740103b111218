package data

import (
	"errors"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"golang.org/x/text/language"
	"gopkg.in/yaml.v3"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

const folder = "data"

// Load reads the data files of the workbook at the root of fsys. Its error is
// of type source.Errors and holds the mistakes of all files; the farm is then
// returned as far as it could be read, and must not be reckoned with.
//
// Files are read only if they are regular files of at most 4 MB; a link is
// refused, wherever it leads.
func Load(fsys fs.FS) (*Farm, error) { return loadFrom(fsys, &trial{}) }

// loadFrom is Load with what a trial puts into the files.
func loadFrom(fsys fs.FS, t *trial) (*Farm, error) {
	l := &loader{fsys: fsys, trial: t, names: map[string]string{}, farm: &Farm{meant: map[string]string{}, Facts: map[string]say.Text{}, Language: language.BritishEnglish, Metric: true, Horizon: defaultHorizon}}
	l.load()
	l.farm.Warnings = l.errs.Of(source.Warning)
	err := l.errs.Err()
	if mistakes, ok := err.(source.Errors); ok {
		l.farm.broken = mistakes[0]
	}
	return l.farm, err
}

// A loader carries what is known while the files are read one after another.
type loader struct {
	fsys  fs.FS
	farm  *Farm
	trial *trial
	errs  source.Errors

	units *quantity.System
	money bool // the currency is known

	uncounted []string // things that farm.yaml declares wrongly

	files       map[string]string // name in data/ -> path
	enterprises []string          // stems, sorted
	records     []string          // paths, sorted

	names map[string]string // of enterprises, as people call them

	fallback source.Span // where figures stand whose file there is not

	// What references are checked against; nil if its file could not be read.
	channels []string
	products map[string][]string // channels by product
	land     map[string]string   // labels by kind
}

func (l *loader) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	err := source.Errorf(kind, at, format, args...)
	l.errs = append(l.errs, err)
	return err
}

// missingFile is the place of a file that can't be shown.
func missingFile(name string) source.Span { return source.New(name, "").Whole() }

func (l *loader) load() {
	if !l.survey() {
		return
	}
	farm, prices, climate := l.document("farm.yaml"), l.document("prices.yaml"), l.document("climate.yaml")
	infrastructure, finance := l.document("infrastructure.yaml"), l.document("finance.yaml")
	cases := l.document("cases.yaml")
	var enterprises []*document
	for _, id := range l.enterprises {
		d := l.document("enterprises/" + id + ".yaml")
		enterprises = append(enterprises, d)
		l.names[id] = nameIn(d, label(id))
	}
	if farm != nil {
		// Without keys there are no units, and other files are checked only
		// for their keys.
		l.findUnits(farm)
		l.farmFile(farm)
	}
	l.pricesFile(prices)
	l.climateFile(climate)
	l.infrastructureFile(infrastructure)
	l.financeFile(finance)
	l.casesFile(cases)
	for i, id := range l.enterprises {
		l.enterpriseFile(id, enterprises[i])
	}
	l.repeats()
	l.recordFiles()
}

// nameIn returns what an enterprise's file calls it, which labels of figures in
// other files need before it is read.
func nameIn(d *document, otherwise string) string {
	if d == nil || d.Root == nil || d.Root.Kind != yaml.MappingNode {
		return otherwise
	}
	for i := 0; i+1 < len(d.Root.Content); i += 2 {
		if v := d.Root.Content[i+1]; d.Root.Content[i].Value == "name" && v.Kind == yaml.ScalarNode && v.Value != "" {
			return strings.TrimSpace(v.Value)
		}
	}
	return otherwise
}

// survey finds the files, and complains of those that would not be read.
func (l *loader) survey() bool {
	info, err := fs.Lstat(l.fsys, folder)
	if err != nil || !info.IsDir() {
		if err == nil {
			l.fail(source.Unsafe, missingFile(folder), "data is not a folder").With("a link to a folder elsewhere is not followed")
			return false
		}
		l.fail(source.IO, missingFile(folder), "there is no folder called data here").With("run this in the workbook's folder, or begin one with rickyard begin")
		return false
	}
	entries, err := fs.ReadDir(l.fsys, folder)
	if err != nil {
		l.fail(source.IO, missingFile(folder), "the folder data can't be read: %v", plainCause(err))
		return false
	}
	l.files = map[string]string{}
	var expected []string
	for _, k := range kinds {
		if k.name != "enterprise" {
			expected = append(expected, k.name+".yaml")
		}
	}
	for _, entry := range entries {
		name := entry.Name()
		full := path.Join(folder, name)
		switch {
		case strings.HasPrefix(name, "."):
		case name == "enterprises":
			l.surveyEnterprises(entry)
		case name == recordsFolder:
			l.surveyRecords(entry)
		case slices.Contains(expected, name):
			if l.regular(entry, full) {
				l.files[name] = full
			}
		case entry.IsDir():
			if near := source.Nearest(name, []string{"enterprises", recordsFolder}); near != "" {
				l.fail(source.UnknownKey, missingFile(full), "this folder is not read").With("did you mean data/%s?", near)
			}
		case strings.HasSuffix(strings.ToLower(name), ".csv"):
			l.fail(source.UnknownKey, missingFile(full), "this file is not read").With("records belong in data/records")
		case isYAML(name):
			e := l.fail(source.UnknownKey, missingFile(full), "this file is not read")
			stem := strings.TrimSuffix(strings.TrimSuffix(name, ".yml"), ".yaml") + ".yaml"
			if near := source.Nearest(stem, expected); near != "" {
				e.With("did you mean data/%s?", near)
			} else {
				e.With("an enterprise belongs in data/enterprises; the other files are %s", leaf.List(expected, "and"))
			}
		}
	}
	if _, ok := l.files["farm.yaml"]; !ok && !slices.ContainsFunc(l.errs, func(e *source.Error) bool { return e.Span.File.Name == "data/farm.yaml" }) {
		l.fail(source.Missing, missingFile("data/farm.yaml"), "this file is missing; it names the farm and its currency").With("write at least name: and currency: in it")
		l.farm.Unread = true
	}
	return true
}

func isYAML(name string) bool {
	lower := strings.ToLower(name)
	return strings.HasSuffix(lower, ".yaml") || strings.HasSuffix(lower, ".yml")
}

// mostEnterprises bounds the files in data/enterprises.
const mostEnterprises = 200

// within lists a folder of the data folder, or reports why it can't be read.
func (l *loader) within(folderEntry fs.DirEntry, dir string) []fs.DirEntry {
	if !folderEntry.IsDir() {
		l.fail(source.Unsafe, missingFile(dir), "%s is not a folder", dir).With("a link to a folder elsewhere is not followed")
		return nil
	}
	entries, err := fs.ReadDir(l.fsys, dir)
	if err != nil {
		l.fail(source.IO, missingFile(dir), "this folder can't be read: %v", plainCause(err))
		return nil
	}
	return entries
}

func (l *loader) surveyEnterprises(folderEntry fs.DirEntry) {
	dir := path.Join(folder, folderEntry.Name())
	for _, entry := range l.within(folderEntry, dir) {
		name := entry.Name()
		full := path.Join(dir, name)
		stem, ok := strings.CutSuffix(name, ".yaml")
		switch {
		case strings.HasPrefix(name, "."), entry.IsDir(), !isYAML(name):
			continue
		case !ok:
			l.fail(source.UnknownKey, missingFile(full), "this file is not read").With("its name must end in .yaml")
			continue
		case !isName(stem):
			e := l.fail(source.Syntax, missingFile(full), "%q can't be the name of an enterprise's file; expected %s", leaf.Clip(stem), nameRule.noun)
			if near := nearName(stem); near != "" {
				e.With("call it %s.yaml", near)
			}
			continue
		case slices.ContainsFunc(kinds, func(k kindOfFile) bool { return k.name == stem && stem != "enterprise" }):
			l.fail(source.Duplicate, missingFile(full), "an enterprise can't be called %s, since its figures would mix with those of data/%s.yaml", stem, stem).With("give the file another name")
			continue
		case len(l.enterprises) == mostEnterprises:
			l.fail(source.Unsafe, missingFile(full), "there are more than %d enterprises", mostEnterprises)
			return
		}
		if l.regular(entry, full) {
			l.enterprises = append(l.enterprises, stem)
			l.files["enterprises/"+name] = full
		}
	}
	slices.Sort(l.enterprises)
	l.farm.Names = l.enterprises
}

func (l *loader) regular(entry fs.DirEntry, full string) bool {
	if entry.Type().IsRegular() {
		return true
	}
	if entry.IsDir() {
		l.lose(full, l.fail(source.IO, missingFile(full), "this is a folder; expected a file"))
		return false
	}
	l.lose(full, l.fail(source.Unsafe, missingFile(full), "this is not an ordinary file").With("a link is not followed; put the file itself here"))
	return false
}

// lose notes that nothing of a file can be read, so that all its figures fail
// for the same reason.
func (l *loader) lose(full string, why *source.Error) {
	stem := strings.TrimSuffix(path.Base(full), ".yaml")
	l.farm.Unread = l.farm.Unread || stem == "farm"
	l.farm.Definitions = append(l.farm.Definitions, figures.Definition{Name: stem, Place: missingFile(full), Hidden: true, Failed: why})
}

// plainCause drops the operation and path that the message gives already.
func plainCause(err error) error {
	var inPath *fs.PathError
	if errors.As(err, &inPath) {
		return inPath.Err
	}
	return err
}

// document reads one of the files found, or returns nil. A file that is there
// but empty gives a document without a root.
func (l *loader) document(name string) *document {
	full, ok := l.files[name]
	if !ok {
		return nil
	}
	text, err := l.text(full)
	if err != nil {
		l.lose(full, l.fail(source.IO, missingFile(full), "this file can't be read: %v", plainCause(err)))
		return nil
	}
	d := parse(full, text)
	d.set = l.trial.set[full]
	l.farm.Files = append(l.farm.Files, d.file)
	if len(d.errs) > 0 {
		l.errs = append(l.errs, d.errs...)
		d.errs = nil
		if d.Root == nil {
			l.lose(full, l.errs[len(l.errs)-1])
			return nil
		}
	}
	return d
}

func (l *loader) text(full string) (string, error) {
	if text, ok := l.trial.texts[full]; ok {
		return text, nil
	}
	f, err := l.fsys.Open(full)
	if err != nil {
		return "", err
	}
	defer f.Close()
	// What was a file when the folder was listed may be a pipe by now.
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return "", errors.Join(err, errors.New("it is not an ordinary file"))
	}
	b, err := io.ReadAll(io.LimitReader(f, leaf.MostBytes+1))
	return string(b), err
}

// A page is one file being turned into figures.
type page struct {
	*loader
	*reader
	prefix string
	root   *value // nil if the file is missing or can't be read
	start  source.Span
	first  int // its first definition

	lacking map[string]*source.Error // enterprises that it names and that are not there
}

// open reads a document against its shape. A missing document gives a page
// without values, whose figures stand at the farm's name.
func (l *loader) open(d *document, prefix string, s *shape) *page {
	p := &page{loader: l, prefix: prefix, first: len(l.farm.Definitions), start: l.fallback}
	if d == nil {
		d = &document{file: source.New(path.Join(folder, prefix+".yaml"), "")}
		p.reader = &reader{document: d}
		if p.start.File == nil {
			p.start = d.file.Whole()
		}
		return p
	}
	p.reader = &reader{document: d, units: l.units, money: l.money, uncounted: l.uncounted}
	p.start = d.file.Span(0, 0)
	at := place{at: p.start, say: "this file"}
	if d.Root == nil {
		empty := &value{shape: s}
		p.root = p.reader.lacking(empty, at)
		return p
	}
	p.root = p.reader.read(d.Root, s, at)
	if p.root == nil {
		l.lose(d.file.Name, p.reader.last())
	}
	return p
}

// close takes over the page's errors and puts its figures in the order of the
// file.
func (p *page) close() {
	p.loader.errs = append(p.loader.errs, p.reader.errs...)
	slices.SortStableFunc(p.farm.Definitions[p.first:], func(a, b figures.Definition) int {
		return a.Place.Origin().Start - b.Place.Origin().Start
	})
}

func (p *page) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	return p.reader.fail(kind, at, format, args...)
}

// repeats reports figures that two lines define, and keeps the first of each.
func (l *loader) repeats() {
	seen := map[string]source.Span{}
	reported := 0
	l.farm.Definitions = slices.DeleteFunc(l.farm.Definitions, func(d figures.Definition) bool {
		first, twice := seen[d.Name]
		if !twice {
			seen[d.Name] = d.Place
			return false
		}
		if reported++; reported <= mostErrors {
			l.fail(source.Duplicate, d.Place, "the figure %s is defined twice; the first is at %s", d.Name, first.Position()).With("rename one of them")
		}
		return true
	})
}
