package templates

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"

	"rickyard/calc/sheet"
)

// csv writes a printed table as a CSV file beside the pages: the numbers as
// printed, with a point and no marks between thousands.
func (p *page) csv(t *sheet.Printed) {
	if p.together || t.Name == "" || p.tables[t.Name] {
		return
	}
	p.tables[t.Name] = true
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write(append([]string{plainText(t.Head)}, t.Heads...))
	for _, row := range t.Rows {
		record := []string{plainText(row.Label)}
		for _, c := range row.Cells {
			text := c.Text
			if c.Unit == "" && c.Text != "" && c.Value == c.Value && !hasUnit(c.Text) && (c.Figure != nil || c.Value != 0) {
				text = strconv.FormatFloat(c.Value, 'f', -1, 64) // a sum too, which is no figure
			}
			record = append(record, plainText(text))
		}
		_ = w.Write(record)
	}
	w.Flush() // to memory, which does not fail
	p.pages["tables/"+t.Name+".csv"] = b.Bytes()
}

// hasUnit reports whether a text is more than a number.
func hasUnit(text string) bool { return strings.Trim(text, "0123456789.,−- \u202f\u00a0") != "" }

// plainText guards a spreadsheet against a text that it would take for a
// formula.
func plainText(text string) string {
	text = strings.ReplaceAll(text, "\u00a0", " ")
	if text != "" && strings.ContainsAny(text[:1], "=+@\t\r") {
		return "'" + text
	}
	return text
}
