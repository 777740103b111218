package templates

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	numbers "golang.org/x/text/number"
	"gopkg.in/yaml.v3"

	"rickyard/calc/say"
)

//go:embed words/*.yaml
var wordFiles embed.FS

// Words are the workbook's own words in one language: everything that a page
// says and the farm's author did not write.
//
// A words file has them by name, and under engine: what the packages below
// templates say, by its English text; see calc/say. English needs no engine:.
// The key keeps_capitals says that a label keeps its capital in the midst of a
// sentence, as in German.
type Words struct {
	Language string
	text     map[string]string
	engine   map[string]string
	tag      language.Tag    // with its country, by which numbers are written
	proper   map[string]bool // words that keep their capital in the midst of a sentence
}

// keeping returns the words with names, of the farm and its people, that keep
// their capital in the midst of a sentence, beside those of always_capital.
func (w *Words) keeping(names ...string) *Words {
	with := *w
	with.proper = map[string]bool{}
	for _, name := range append(names, w.text["always_capital"]) {
		for _, word := range strings.FieldsFunc(name, notInWord) {
			with.proper[word] = word != "The" && word != "A"
		}
	}
	return &with
}

func notInWord(r rune) bool { return !unicode.IsLetter(r) }

var wordsRead sync.Map // *Words by language, which nobody changes

// ReadWords returns the words of a language by its BCP 47 base, such as "en".
func ReadWords(base string) (*Words, error) {
	if w, ok := wordsRead.Load(base); ok {
		return w.(*Words), nil
	}
	raw, err := wordFiles.ReadFile("words/" + base + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("the workbook has no words in the language %q; it has them in %s", base, strings.Join(WordLanguages(), ", "))
	}
	var file struct {
		Engine map[string]string `yaml:"engine"`
		Text   map[string]string `yaml:",inline"`
	}
	if err := yaml.Unmarshal(raw, &file); err != nil {
		return nil, fmt.Errorf("the words of the language %q can't be read: %w", base, err)
	}
	w := &Words{Language: base, text: file.Text, engine: file.Engine, tag: language.Make(base)}
	wordsRead.Store(base, w)
	return w, nil
}

// ReadWordsFor returns the words for a language tag such as de-CH.
func ReadWordsFor(tag language.Tag) (*Words, error) {
	base, _ := tag.Base()
	words, err := ReadWords(base.String())
	if err != nil {
		return nil, err
	}
	with := *words
	with.tag = tag
	return &with, nil
}

// WordLanguages lists the languages that there are words for.
func WordLanguages() []string {
	entries, _ := wordFiles.ReadDir("words")
	var languages []string
	for _, e := range entries {
		languages = append(languages, e.Name()[:len(e.Name())-len(".yaml")])
	}
	return languages
}

// own says the words of a name as a text that stays as it is.
func (m *maker) own(name string, args ...any) say.Text { return say.Own(m.words.Say(name, args...)) }

// Keys lists the names of all words, sorted.
func (w *Words) Keys() []string { return slices.Sorted(maps.Keys(w.text)) }

// Word returns the translation of a text of the engine's. It implements
// say.Language, with Mid.
func (w *Words) Word(english string) (string, bool) {
	text, ok := w.engine[english]
	return text, ok
}

// Number writes a number as the language does.
func (w *Words) Number(x float64, decimals int) string {
	return message.NewPrinter(w.tag).Sprint(numbers.Decimal(x, numbers.MinFractionDigits(decimals), numbers.MaxFractionDigits(decimals)))
}

// Mid fits a label for the midst of a sentence. Names, and letters that stand
// for themselves, stay as they are.
func (w *Words) Mid(text string) string {
	if w.text["keeps_capitals"] == "yes" {
		return text
	}
	word := text
	if end := strings.IndexFunc(text, notInWord); end >= 0 {
		word = text[:end]
	}
	if w.proper[word] || utf8.RuneCountInString(word) == 1 && word != "A" {
		return text
	}
	return say.LowerFirst(text)
}

// Say returns the words of a name, with arguments put in as by fmt.Sprintf. A
// name without words comes back in brackets, so that it is seen.
func (w *Words) Say(name string, args ...any) string {
	text, ok := w.text[name]
	if !ok {
		return "[" + name + "]"
	}
	if len(args) == 0 {
		return text
	}
	return fmt.Sprintf(text, args...)
}
