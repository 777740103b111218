package chart

// What the tests of this package's drawings look into.
var NiceScale = niceScale

// Ticks are the values of the ticks of a scale, with its ends and its step.
func (s scale) Ticks() (ticks []float64, low, high, step float64) {
	return s.ticks(), s.min, s.max, s.step
}

// Light is the colour of a role on light paper.
func (r role) Light() string { return r.light }

// Property is the custom property of a role.
func (r role) Property() string { return r.property }

// Roles are what the colours are for.
func Roles() []role { return roles }
