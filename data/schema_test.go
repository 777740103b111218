package data

import (
	"bytes"
	"encoding/json"
	"path"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gopkg.in/yaml.v3"
)

func compile(t testing.TB, kind string) *jsonschema.Schema {
	t.Helper()
	text, err := Schema(kind)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// plainValue reads YAML as editors do: with the types of JSON, and dates as
// texts.
func plainValue(t testing.TB, text []byte) any {
	t.Helper()
	var root yaml.Node
	if err := yaml.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	if len(root.Content) == 0 {
		return nil
	}
	return plainNode(root.Content[0])
}

func plainNode(n *yaml.Node) any {
	switch n.Kind {
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = plainNode(n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		list := []any{}
		for _, c := range n.Content {
			list = append(list, plainNode(c))
		}
		return list
	}
	switch n.Tag {
	case "!!int", "!!float":
		return json.Number(strings.ReplaceAll(n.Value, "_", ""))
	case "!!bool":
		return n.Value == "true"
	case "!!null":
		return nil
	}
	return n.Value
}

func kindOfPath(name string) string {
	if strings.Contains(name, "enterprises/") {
		return "enterprise"
	}
	return strings.TrimSuffix(path.Base(name), ".yaml")
}

func TestSchemaAcceptsTheSmallFarm(t *testing.T) {
	all := compile(t, "")
	for name, file := range small(t) {
		v := plainValue(t, file.Data)
		if err := compile(t, kindOfPath(name)).Validate(v); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := all.Validate(v); err != nil {
			t.Errorf("%s, all kinds: %v", name, err)
		}
	}
}

// The schema refuses what it can see, and nothing that the reader's own error is
// not about: each bad input differs from a good file in one place.
func TestSchemaSeesBadInputs(t *testing.T) {
	for _, c := range badInputs {
		files := small(t)
		edit(t, files, c.file, c.old, c.new)
		var root yaml.Node
		if yaml.Unmarshal(files[c.file].Data, &root) != nil || parse(c.file, string(files[c.file].Data)).Root == nil {
			continue // not YAML, so no schema is asked
		}
		err := compile(t, kindOfPath(c.file)).Validate(plainNode(root.Content[0]))
		if seen := err != nil; seen != c.seen {
			t.Errorf("%s: the schema refuses it: %t, want %t: %v", c.name, seen, c.seen, err)
		}
	}
}

// Every key, in every place of every schema, has a sentence that says what it is
// for, and every shape a type.
func TestSchemaDescribesEveryKey(t *testing.T) {
	for _, kind := range []string{"", "farm", "prices", "climate", "infrastructure", "finance", "cases", "enterprise"} {
		text, err := Schema(kind)
		if err != nil {
			t.Fatal(err)
		}
		var root any
		if err := json.Unmarshal(text, &root); err != nil {
			t.Fatal(err)
		}
		n := 0
		var look func(at string, v any)
		look = func(at string, v any) {
			switch v := v.(type) {
			case []any:
				for _, x := range v {
					look(at, x)
				}
			case map[string]any:
				for key, x := range v {
					look(at+"/"+key, x)
				}
				properties, _ := v["properties"].(map[string]any)
				for key, p := range properties {
					if p == false {
						continue // a key that another excludes
					}
					n++
					doc, _ := p.(map[string]any)["description"].(string)
					if !strings.HasSuffix(doc, ".") || len(doc) < 10 {
						t.Errorf("%s%s/%s is described as %q", kind, at, key, doc)
					}
				}
			}
		}
		look("", root)
		if n < 10 {
			t.Errorf("%q describes %d keys only", kind, n)
		}
	}
}

func TestSchemaIsTheSameEveryTime(t *testing.T) {
	a, _ := Schema("")
	for range 5 {
		if b, _ := Schema(""); !bytes.Equal(a, b) {
			t.Fatal("two runs differ")
		}
	}
}

func TestSchemaOfUnknownKind(t *testing.T) {
	_, err := Schema("price")
	if want := `"price" is not a kind of data file; did you mean prices?`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	_, err = Schema("zebra")
	if want := `"zebra" is not a kind of data file; expected farm, prices, climate, infrastructure, finance, cases or enterprise`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// The reader takes a table with nothing in it, and so must the schema.
func TestSchemaAcceptsEmptyTables(t *testing.T) {
	files := small(t)
	edit(t, files, "data/climate.yaml", "", "inputs:\nworked:\n")
	if _, err := Load(files); err != nil {
		t.Error(err)
	}
	if err := compile(t, "climate").Validate(plainValue(t, files["data/climate.yaml"].Data)); err != nil {
		t.Error(err)
	}
}

// Definitions are shared by the name of what is wanted, so no two wants may have
// one name.
func TestWantsHaveNamesOfTheirOwn(t *testing.T) {
	byName := map[string]*want{}
	for _, k := range kinds {
		walk(k.is, func(s *shape) {
			if s.want == nil {
				return
			}
			if first := byName[s.want.name]; first != nil && first != s.want {
				t.Errorf("two wants are called %s: %s and %s", s.want.name, first.what, s.want.what)
			}
			byName[s.want.name] = s.want
		})
	}
}
