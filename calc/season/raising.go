package season

// A Raising is what it takes to raise and tend a crop. Hours and seed are the
// farm's own.
type Raising struct {
	Plants      float64 // a metre of bed
	Spare       float64 // share of plants raised beyond those that are wanted
	Germination float64 // share of the seed sown that comes up
	Cells       float64 // of a tray; 0 where it is sown in place
	TrayLitres  float64 // of potting mix in a tray
	Compost     float64 // kg on a metre of bed at planting
	Sow         float64 // h a tray, or h a metre where it is sown in place
	Plant       float64 // h a metre; nothing where it is sown in place
	Tend        float64 // h a metre and week on the bed, before the picking
	Pick        float64 // h a kilogram
}

// Chores are what the plantings of a plan take in each of its weeks.
type Chores struct {
	SownTrays []int     // trays sown
	Bench     []int     // trays that stand in the nursery
	Mix       []float64 // L of potting mix
	Compost   []float64 // kg
	Hours     []float64
	Seeds     []float64 // by crop, over the whole plan
}

// Chores adds up the work and the stuff of a plan; raising has one entry a crop.
// Trays are whole for each planting: what is left of one holds no other crop.
func (g *Garden) Chores(plan GardenPlan, raising []Raising) Chores {
	weeks := 0
	if len(g.Wanted) > 0 {
		weeks = len(g.Wanted[0])
	}
	out := Chores{make([]int, weeks), make([]int, weeks), make([]float64, weeks), make([]float64, weeks), make([]float64, weeks), make([]float64, len(g.Crops))}
	for _, p := range plan.Plantings {
		out.add(g, p, raising[p.Crop], weeks)
	}
	return out
}

func (out *Chores) add(g *Garden, p Planting, r Raising, weeks int) {
	length := g.Beds[p.Bed].Length
	seeds := float64(count(r.Plants * length * (1 + r.Spare) / r.Germination))
	sow := r.Sow * length
	if r.Cells > 0 {
		trays := count(seeds / r.Cells)
		sow = r.Sow * float64(trays)
		out.SownTrays[p.Sown] += trays
		out.Mix[p.Sown] += float64(float64(trays) * r.TrayLitres)
		for w := p.Sown; w < p.Planted; w++ {
			out.Bench[w] += trays
		}
	}
	out.Seeds[p.Crop] += seeds
	out.Hours[p.Sown] += sow
	out.Hours[p.Planted] += float64(r.Plant * length)
	out.Compost[p.Planted] += float64(r.Compost * length)
	for w := p.Planted + 1; w < min(p.FirstPick, weeks); w++ {
		out.Hours[w] += float64(r.Tend * length)
	}
	for i, kg := range g.Harvest(p) {
		if w := p.FirstPick + i; w < weeks {
			out.Hours[w] += float64(r.Pick * kg)
		}
	}
}
