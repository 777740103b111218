package chart

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"rickyard/calc/portable"
)

// A matrix moves and scales a path: x' = ax + cy + e, y' = bx + dy + f.
type matrix [6]float64

func (m matrix) times(o matrix) matrix {
	return matrix{
		float64(m[0]*o[0]) + float64(m[2]*o[1]), float64(m[1]*o[0]) + float64(m[3]*o[1]),
		float64(m[0]*o[2]) + float64(m[2]*o[3]), float64(m[1]*o[2]) + float64(m[3]*o[3]),
		float64(m[0]*o[4]) + float64(m[2]*o[5]) + m[4], float64(m[1]*o[4]) + float64(m[3]*o[5]) + m[5],
	}
}

var transformStep = regexp.MustCompile(`(\w+)\(([^)]*)\)`)

// parseMatrix reads a transform attribute.
func parseMatrix(text string) (matrix, error) {
	m := matrix{1, 0, 0, 1, 0, 0}
	for _, step := range transformStep.FindAllStringSubmatch(text, -1) {
		v, err := numbers(step[2])
		if err != nil || len(v) == 0 {
			return m, fmt.Errorf("the chart script moved a shape in a way that can't be read: %s", text)
		}
		switch {
		case step[1] == "translate":
			m = m.times(matrix{1, 0, 0, 1, v[0], append(v, 0)[1]})
		case step[1] == "scale":
			m = m.times(matrix{v[0], 0, 0, v[len(v)-1], 0, 0})
		case step[1] == "matrix" && len(v) == 6:
			m = m.times(matrix(v))
		case step[1] == "rotate":
			sin, cos := portable.Sin(v[0]*math.Pi/180), portable.Cos(v[0]*math.Pi/180)
			m = m.times(matrix{cos, sin, -sin, cos, 0, 0})
		default:
			return m, fmt.Errorf("the chart script moved a shape in a way that can't be read: %s", text)
		}
	}
	return m, nil
}

var pathStep = regexp.MustCompile(`([MmLlHhVvAaCcZz])([^MmLlHhVvAaCcZz]*)`)
var pathNumber = regexp.MustCompile(`-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?`)

func numbers(text string) ([]float64, error) {
	var n []float64
	for _, t := range pathNumber.FindAllString(text, -1) {
		v, err := strconv.ParseFloat(t, 64)
		if err != nil {
			return nil, err
		}
		n = append(n, v)
	}
	return n, nil
}

// steps walks a path's commands: op is in upper case, its points absolute. Arcs
// keep their radii and flags before their end.
func walk(d string, do func(op byte, n []float64)) error {
	x, y, startX, startY := 0.0, 0.0, 0.0, 0.0
	for _, step := range pathStep.FindAllStringSubmatch(d, -1) {
		n, err := numbers(step[2])
		if err != nil {
			return err
		}
		kind := step[1][0]
		op, relative := kind&^0x20, kind >= 'a'
		if op == 'Z' {
			do('Z', nil)
			x, y = startX, startY
			continue
		}
		size := map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'A': 7, 'C': 6}[op]
		for ; len(n) >= size; n = n[size:] {
			fromX, fromY := 0.0, 0.0
			if relative {
				fromX, fromY = x, y
			}
			switch op {
			case 'H':
				x = fromX + n[0]
				do('L', []float64{x, y})
			case 'V':
				y = fromY + n[0]
				do('L', []float64{x, y})
			case 'C':
				p := []float64{fromX + n[0], fromY + n[1], fromX + n[2], fromY + n[3], fromX + n[4], fromY + n[5]}
				x, y = p[4], p[5]
				do('C', p)
			case 'A':
				x, y = fromX+n[5], fromY+n[6]
				do('A', []float64{n[0], n[1], n[2], n[3], n[4], x, y})
			default:
				x, y = fromX+n[0], fromY+n[1]
				do(op, []float64{x, y})
			}
			if op == 'M' {
				startX, startY = x, y
				op = 'L'
			}
		}
	}
	return nil
}

// placed writes a path anew at its place in the drawing, to a part of a pixel
// and as short as it can be said.
func placed(d string, m matrix, grain float64) (string, error) {
	var b strings.Builder
	lastX, lastY, startX, startY := 0.0, 0.0, 0.0, 0.0
	round := func(x, y float64) (float64, float64) {
		return math.Round((float64(m[0]*x)+float64(m[2]*y)+m[4])*grain) / grain, math.Round((float64(m[1]*x)+float64(m[3]*y)+m[5])*grain) / grain
	}
	scaled := portable.Hypot(m[0], m[1])
	err := walk(d, func(op byte, n []float64) {
		if op == 'Z' {
			b.WriteByte('z')
			lastX, lastY = startX, startY
			return
		}
		x, y := round(n[len(n)-2], n[len(n)-1])
		switch {
		case op == 'M':
			b.WriteString("M" + pair(x, y))
			startX, startY = x, y
		case op == 'C':
			x1, y1 := round(n[0], n[1])
			x2, y2 := round(n[2], n[3])
			b.WriteString("c" + pair(x1-lastX, y1-lastY) + " " + pair(x2-lastX, y2-lastY) + " " + pair(x-lastX, y-lastY))
		case op == 'A' && n[3] == 1 && portable.Hypot(x-lastX, y-lastY) < n[0]*scaled/4:
			// A whole circle is drawn as an arc to a point a hair from its
			// start: rather two halves, which survive rounding.
			r := float64(n[0] * scaled)
			b.WriteString("a" + short(r) + " " + short(r) + " 0 1 1" + pair(float64(-2*r), 0) + "a" + short(r) + " " + short(r) + " 0 1 1 " + pair(float64(2*r), 0))
			return
		case op == 'A':
			b.WriteString("a" + pair(n[0]*scaled, n[1]*scaled) + " " + short(n[2]) + " " + short(n[3]) + " " + short(n[4]) + " " + pair(x-lastX, y-lastY))
		case y == lastY && x == lastX:
			return
		case y == lastY:
			b.WriteString("h" + short(x-lastX))
		case x == lastX:
			b.WriteString("v" + short(y-lastY))
		default:
			b.WriteString("l" + pair(x-lastX, y-lastY))
		}
		lastX, lastY = x, y
	})
	return b.String(), err
}

// pair writes two numbers, with a blank between them only where one is needed.
func pair(x, y float64) string {
	a, b := short(x), short(y)
	if strings.HasPrefix(b, "-") {
		return a + b
	}
	return a + " " + b
}
