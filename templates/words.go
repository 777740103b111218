package templates

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"sync"

	"gopkg.in/yaml.v3"
)

//go:embed words/*.yaml
var wordFiles embed.FS

// Words are the workbook's own words in one language: everything that a page
// says and the farm's author did not write.
type Words struct {
	Language string
	text     map[string]string
}

var wordsRead sync.Map // *Words by language, which nobody changes

// ReadWords returns the words of a language by its BCP 47 base, such as "en".
func ReadWords(language string) (*Words, error) {
	if w, ok := wordsRead.Load(language); ok {
		return w.(*Words), nil
	}
	raw, err := wordFiles.ReadFile("words/" + language + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("the workbook has no words in the language %q; expected one of %v", language, WordLanguages())
	}
	w := &Words{Language: language}
	if err := yaml.Unmarshal(raw, &w.text); err != nil {
		return nil, fmt.Errorf("the words of the language %q can't be read: %w", language, err)
	}
	wordsRead.Store(language, w)
	return w, nil
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

// Keys lists the names of all words, sorted.
func (w *Words) Keys() []string { return slices.Sorted(maps.Keys(w.text)) }

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
