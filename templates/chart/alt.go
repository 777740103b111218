package chart

import (
	"math"
	"strings"

	"rickyard/calc/say"
)

// mostTold is how many values a text alternative says; the table has them all.
const mostTold = 8

// altText describes a settled chart in words: what it finds, then what kind it
// is, then its values if they are few.
func (c *Chart) altText() string {
	if c.Alt != "" {
		return c.Alt
	}
	parts := append(c.findings(), c.kindText())
	if text := c.valuesText(); text != "" {
		parts = append(parts, text)
	}
	return strings.Join(parts, " ")
}

func (c *Chart) tell(text say.Text) string { return text.In(c.Language) }

func (c *Chart) kindText() string {
	if c.Unit == "" {
		return c.tell(say.With("%s.", kinds[c.Kind].says))
	}
	return c.tell(say.With("%s, in %s.", kinds[c.Kind].says, c.Unit))
}

// findings are what a look at the chart tells first.
func (c *Chart) findings() []string {
	var found []string
	switch c.Kind {
	case Ranges:
		found = c.widestRange()
	case Steps:
		s := c.Series[0]
		last := len(c.Categories) - 1
		found = append(found, c.tell(say.With("%s %s; %s %s.", clip(c.Categories[0], 80), c.orGap(s.Shown[0]), clip(c.Categories[last], 80), c.orGap(s.Shown[last]))))
	case Split:
		s := c.Series[0]
		if _, most := ends(s.Values); most >= 0 {
			found = append(found, c.tell(say.With("Largest part: %s, %s.", clip(c.Categories[most], 80), splitShares(s.Values)[most])))
		}
	case Heat:
		found = append(found, c.cellsText())
	default:
		if c.stacked() && len(c.Series) > 1 {
			found = append(found, c.endsText(upperFirst(c.tell("all together")), c.total()))
			break
		}
		for i, s := range c.Series {
			if i == 4 {
				found = append(found, c.tell(say.With("And %s more.", len(c.Series)-i)))
				break
			}
			name := ""
			if len(c.Series) > 1 {
				name = clip(s.Name, 80)
			}
			if text := c.endsText(name, s); text != "" {
				found = append(found, text)
			}
		}
	}
	for _, m := range c.Marks {
		found = append(found, strings.TrimSpace(m.Name+" "+m.Shown)+".")
	}
	if c.Here != nil {
		found = append(found, upperFirst(strings.TrimSpace(c.HereWords+" "+c.Here.Shown))+".")
	}
	return found
}

// total is the sum of all series.
func (c *Chart) total() Series {
	var all Series
	for j := range c.Categories {
		up, down := c.sums(j)
		all.Values = append(all.Values, up+down)
		all.Shown = append(all.Shown, c.Number(up+down, max(0, c.Decimals)))
	}
	return all
}

// cellsText tells the highest and the lowest cell of a shaded table.
func (c *Chart) cellsText() string {
	var lowRow, lowAt, highRow, highAt int
	low, high := math.Inf(1), math.Inf(-1)
	for i, s := range c.Series {
		for j, v := range s.Values {
			if v < low {
				low, lowRow, lowAt = v, i, j
			}
			if v > high {
				high, highRow, highAt = v, i, j
			}
		}
	}
	name := func(i, j int) string {
		return clip(strings.Trim(c.Series[i].Name+", "+c.Categories[j], ", "), 80)
	}
	return c.tell(say.With("Highest: %s, %s; lowest: %s, %s.", name(highRow, highAt), c.Series[highRow].Shown[highAt], name(lowRow, lowAt), c.Series[lowRow].Shown[lowAt]))
}

// endsText tells a series' highest and lowest value.
func (c *Chart) endsText(name string, s Series) string {
	low, high := ends(s.Values)
	if low < 0 {
		return ""
	}
	at := func(i int) string { return clip(c.Categories[i], 80) }
	text := say.With("Highest: %s, %s; lowest: %s, %s.", at(high), s.Shown[high], at(low), s.Shown[low])
	switch {
	case s.Shown[low] == s.Shown[high] && low != high:
		text = say.With("All the same: %s.", s.Shown[low])
	case low == high:
		text = say.With("%s: %s.", at(low), s.Shown[low])
	}
	if name == "" {
		return c.tell(text)
	}
	return name + ": " + c.tell(text)
}

func (c *Chart) widestRange() []string {
	s := c.Series[0]
	most, width := -1, 0.0
	for i := range c.Categories {
		if w := math.Abs(s.High[i] - s.Low[i]); w > width {
			most, width = i, w
		}
	}
	if most < 0 {
		return nil
	}
	return []string{c.tell(say.With("%s moves it most: %s at its low, %s at its high.", clip(c.Categories[most], 80),
		c.orGap(s.ShownLow[most]), c.orGap(s.ShownHigh[most])))}
}

// ends are the indexes of the lowest and the highest value, -1 if there is none.
func ends(values []float64) (low, high int) {
	low, high = -1, -1
	for i, v := range values {
		if math.IsNaN(v) {
			continue
		}
		if low < 0 || v < values[low] {
			low = i
		}
		if high < 0 || v > values[high] {
			high = i
		}
	}
	return low, high
}

// valuesText tells the values one by one, if they are few.
func (c *Chart) valuesText() string {
	if len(c.Categories)*len(c.Series) > mostTold {
		return ""
	}
	var b strings.Builder
	for i, s := range c.Series {
		if i > 0 {
			b.WriteString(" ")
		}
		if s.Name != "" && len(c.Series) > 1 {
			b.WriteString(clip(s.Name, 80) + ": ")
		}
		var parts []string
		if c.Kind == Ranges {
			parts = append(parts, strings.TrimSpace(c.BaseName+" "+c.BaseShown))
		}
		for j, name := range c.Categories {
			parts = append(parts, strings.TrimSpace(clip(name, 80)+" "+c.valueText(s, j)))
		}
		b.WriteString(strings.Join(parts, "; ") + ".")
	}
	return b.String()
}

func (c *Chart) valueText(s Series, j int) string {
	switch c.Kind {
	case Ranges:
		return c.tell(say.With("%s to %s|range", c.orGap(s.ShownLow[j]), c.orGap(s.ShownHigh[j])))
	case Points:
		return c.tell(say.With("%s across, %s", c.orGap(pick(s.ShownAt, j)), c.orGap(s.Shown[j])))
	}
	return c.orGap(s.Shown[j])
}

func (c *Chart) orGap(s string) string {
	if s == "" {
		return c.tell("no figure")
	}
	return s
}
