package chart

import (
	"math"
	"strings"

	"rickyard/calc/say"
)

// Table gives the numbers behind the chart as text: a header and rows of the
// same length, the first cell of each row being its heading. A gap is "–".
// It returns nothing for a chart that can't be drawn.
func (c *Chart) Table() (header []string, rows [][]string) {
	s, err := c.settle()
	if err != nil {
		return nil, nil
	}
	withUnit := func(name string) string {
		switch {
		case s.Unit == "":
			return name
		case name == "":
			return s.Unit
		}
		return name + ", " + s.Unit
	}
	cell := func(shown []string, i int) string {
		if t := pick(shown, i); t != "" {
			return t
		}
		return "–"
	}
	s.Series = s.withBands()
	switch s.Kind {
	case Points:
		header = []string{"", s.Across, s.Unit}
		for _, r := range s.Series {
			for i, name := range s.Categories {
				if len(s.Series) > 1 && r.Name != "" {
					name = r.Name + ": " + name
				}
				if math.IsNaN(r.Values[i]) && math.IsNaN(r.At[i]) && len(s.Series) > 1 {
					continue
				}
				rows = append(rows, []string{name, cell(r.ShownAt, i), cell(r.Shown, i)})
			}
		}
	case Ranges:
		r := s.Series[0]
		header = []string{s.Across, withUnit(r.LowName), withUnit(r.HighName)}
		for i, name := range s.Categories {
			rows = append(rows, []string{name, cell(r.ShownLow, i), cell(r.ShownHigh, i)})
		}
		rows = append(rows, []string{s.BaseName, s.BaseShown, s.BaseShown})
	case Columns, Stack, Lines, Area:
		if s.Years && len(s.Categories)%12 == 0 {
			return yearsTable(s, withUnit(""), cell)
		}
		header, rows = plainTable(s, withUnit, cell)
	case Heat:
		header = append([]string{withUnit(s.Up)}, s.Categories...)
		for _, r := range s.Series {
			row := []string{r.Name}
			for i := range s.Categories {
				row = append(row, cell(r.Shown, i))
			}
			rows = append(rows, row)
		}
	case Split:
		r := s.Series[0]
		header = []string{s.Across, withUnit(r.Name), say.Text("share|chart").In(s.Language)}
		shares := splitShares(r.Values)
		for i, name := range s.Categories {
			rows = append(rows, []string{name, cell(r.Shown, i), shares[i]})
		}
	default:
		header, rows = plainTable(s, withUnit, cell)
	}
	if s.Kind != Ranges {
		for _, m := range s.Marks {
			row := make([]string, len(header))
			row[0] = m.Name
			for i := 1; i < len(row); i++ {
				row[i] = m.Shown
			}
			if s.Kind == Points {
				row[1] = "–"
			}
			rows = append(rows, row)
		}
	}
	return header, rows
}

// withBands are the series, with the ends of bands as series of their own.
func (c *Chart) withBands() []Series {
	if c.Kind == Ranges {
		return c.Series
	}
	var all []Series
	for _, r := range c.Series {
		if len(r.Low) == 0 {
			all = append(all, r)
			continue
		}
		all = append(all, Series{Name: r.LowName, Values: r.Low, Shown: r.ShownLow}, r,
			Series{Name: r.HighName, Values: r.High, Shown: r.ShownHigh})
	}
	return all
}

// plainTable has a row for each category and a column for each series.
func plainTable(s *Chart, withUnit func(string) string, cell func([]string, int) string) (header []string, rows [][]string) {
	header = []string{s.Across}
	for _, r := range s.Series {
		header = append(header, withUnit(r.Name))
	}
	for i, name := range s.Categories {
		row := []string{name}
		for _, r := range s.Series {
			row = append(row, cell(r.Shown, i))
		}
		rows = append(rows, row)
	}
	return header, rows
}

// yearsTable has a column for each month and a row for each year of each series.
func yearsTable(s *Chart, unit string, cell func([]string, int) string) (header []string, rows [][]string) {
	header = []string{unit}
	for _, name := range s.Categories[:12] {
		month, _, _ := strings.Cut(name, " ")
		header = append(header, month)
	}
	for _, r := range s.Series {
		for from := 0; from < len(s.Categories); from += 12 {
			_, label, _ := strings.Cut(s.Categories[from], " ")
			if _, last, _ := strings.Cut(s.Categories[from+11], " "); last != label {
				label += "/" + last[max(0, len(last)-2):]
			}
			if len(s.Series) > 1 {
				label = r.Name + ", " + label
			}
			row := []string{label}
			for m := range 12 {
				row = append(row, cell(r.Shown, from+m))
			}
			rows = append(rows, row)
		}
	}
	for _, mark := range s.Marks {
		row := append([]string{mark.Name}, make([]string, 12)...)
		row[1] = mark.Shown
		rows = append(rows, row)
	}
	return header, rows
}
