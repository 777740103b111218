package land

import (
	"math"
	"slices"
)

// Way returns the shortest way from one point on the plan to another along tracks:
// straight to the nearest track, along tracks, and straight on at the end. Tracks join
// where a corner of one comes within snap metres of another, at its corners or between
// them; two that cross without a corner there do not (a bridge). The length is in
// metres. Where the tracks nearest to the two do not join, the length is NaN and there
// is no way.
//
// Source: Dijkstra, A note on two problems in connexion with graphs, Numerische
// Mathematik 1 (1959).
func Way(tracks [][]Point, snap float64, from, to Point) (length float64, way []Point) {
	start, ok1 := nearest(tracks, from)
	end, ok2 := nearest(tracks, to)
	if !ok1 || !ok2 {
		return math.NaN(), nil
	}
	n := network{snap: snap}
	first, last := n.node(start), n.node(end)
	for _, track := range tracks {
		for _, p := range track {
			n.node(p)
		}
	}
	for _, track := range tracks {
		for i := 1; i < len(track); i++ {
			n.join(track[i-1], track[i])
		}
	}
	along, nodes := n.shortest(first, last)
	if math.IsInf(along, 0) {
		return math.NaN(), nil
	}
	way = []Point{from}
	for _, i := range nodes {
		if p := n.at[i]; p != way[len(way)-1] {
			way = append(way, p)
		}
	}
	if to != way[len(way)-1] {
		way = append(way, to)
	}
	return between(from, start) + along + between(end, to), way
}

// nearest returns the point on any track that lies nearest to p.
func nearest(tracks [][]Point, p Point) (best Point, ok bool) {
	least := math.Inf(1)
	for _, track := range tracks {
		for i := 1; i < len(track); i++ {
			on, _ := onSide(p, track[i-1], track[i])
			if d := between(p, on); d < least {
				best, least, ok = on, d, true
			}
		}
	}
	return best, ok
}

// onSide returns the point of a side nearest to p, and which share of the side lies
// before it.
func onSide(p, a, b Point) (on Point, share float64) {
	dx, dy := b.X-a.X, b.Y-a.Y
	long := float64(dx*dx) + float64(dy*dy)
	if long == 0 {
		return a, 0
	}
	t := (float64((p.X-a.X)*dx) + float64((p.Y-a.Y)*dy)) / long
	t = math.Max(0, math.Min(1, t))
	return Point{a.X + float64(t*dx), a.Y + float64(t*dy)}, t
}

// A network is nodes, and for each the nodes it leads to.
type network struct {
	snap  float64
	at    []Point
	links [][]link
}

type link struct {
	to     int
	length float64
}

// node returns the number of the node at a point, a new one if none is near.
func (n *network) node(p Point) int {
	for i, q := range n.at {
		if between(p, q) <= n.snap {
			return i
		}
	}
	n.at, n.links = append(n.at, p), append(n.links, nil)
	return len(n.at) - 1
}

// join links the nodes that lie on a side, each with the next.
func (n *network) join(a, b Point) {
	type stop struct {
		node  int
		share float64
	}
	var stops []stop
	for i, p := range n.at {
		if on, share := onSide(p, a, b); between(p, on) <= n.snap {
			stops = append(stops, stop{i, share})
		}
	}
	slices.SortStableFunc(stops, func(a, b stop) int {
		switch {
		case a.share < b.share:
			return -1
		case a.share > b.share:
			return 1
		}
		return 0
	})
	for i := 1; i < len(stops); i++ {
		x, y := stops[i-1].node, stops[i].node
		d := (stops[i].share - stops[i-1].share) * between(a, b)
		n.links[x] = append(n.links[x], link{y, d})
		n.links[y] = append(n.links[y], link{x, d})
	}
}

// shortest returns the length and the nodes of the shortest way, infinite where there
// is none.
func (n *network) shortest(from, to int) (float64, []int) {
	length, before, done := make([]float64, len(n.at)), make([]int, len(n.at)), make([]bool, len(n.at))
	for i := range length {
		length[i], before[i] = math.Inf(1), -1
	}
	length[from] = 0
	var open heap
	open.push(0, int32(from))
	for len(open) > 0 {
		i := int(open.pop())
		if done[i] {
			continue
		}
		done[i] = true
		for _, l := range n.links[i] {
			if d := length[i] + l.length; d < length[l.to] {
				length[l.to], before[l.to] = d, i
				open.push(d, int32(l.to))
			}
		}
	}
	nodes := []int{to}
	for i := before[to]; i >= 0; i = before[i] {
		nodes = append(nodes, i)
	}
	slices.Reverse(nodes)
	return length[to], nodes
}
