package portable

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mathext"
)

// exact evaluates functions from their own series with 400 bits.
type exact struct{}

const bits = 400

func number(x float64) *big.Float         { return new(big.Float).SetPrec(bits).SetFloat64(x) }
func add(x, y *big.Float) *big.Float      { return new(big.Float).SetPrec(bits).Add(x, y) }
func sub(x, y *big.Float) *big.Float      { return new(big.Float).SetPrec(bits).Sub(x, y) }
func multiply(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Mul(x, y) }
func divide(x, y *big.Float) *big.Float   { return new(big.Float).SetPrec(bits).Quo(x, y) }
func scale(x *big.Float, k int) *big.Float {
	return new(big.Float).SetPrec(bits).SetMantExp(x, k)
}

// taylor sums terms, each the one before times next(n), until they no longer count.
func taylor(first *big.Float, next func(n int) *big.Float) *big.Float {
	total, term := number(0), first
	for n := 1; term.Sign() != 0 && (total.Sign() == 0 || term.MantExp(nil) > total.MantExp(nil)-bits); n++ {
		total = add(total, term)
		term = multiply(term, next(n))
	}
	return total
}

func (exact) exp(x *big.Float) *big.Float {
	const halvings = 20
	small := scale(x, -halvings)
	e := taylor(number(1), func(n int) *big.Float { return divide(small, number(float64(n))) })
	for range halvings {
		e = multiply(e, e)
	}
	return e
}

// log is Newton's method on exp, from the power of two, with the cube of the error.
func (e exact) log(x *big.Float) *big.Float {
	f, _ := new(big.Float).Copy(x).Float64()
	y := number(math.Log(f))
	for range 6 {
		t := e.exp(y)
		step := divide(sub(x, t), add(x, t))
		y = add(y, scale(step, 1))
	}
	return y
}

func (exact) sin(x *big.Float) *big.Float {
	square := multiply(x, x)
	return taylor(x, func(n int) *big.Float { return divide(square, number(-float64(2*n*(2*n+1)))) })
}

func (exact) cos(x *big.Float) *big.Float {
	square := multiply(x, x)
	return taylor(number(1), func(n int) *big.Float { return divide(square, number(-float64(2*n*(2*n-1)))) })
}

func (e exact) atan(y, x *big.Float) *big.Float {
	fy, _ := y.Float64()
	fx, _ := x.Float64()
	a := number(math.Atan2(fy, fx))
	for range 5 {
		s, c := e.sin(a), e.cos(a)
		across := add(multiply(x, c), multiply(y, s))
		a = add(a, divide(sub(multiply(y, c), multiply(x, s)), across))
	}
	return a
}

func (e exact) erfc(x *big.Float) *big.Float {
	square := multiply(x, x)
	odd := 1.0
	series := taylor(x, func(n int) *big.Float {
		next := divide(multiply(square, number(-odd)), number(float64(n)*(odd+2)))
		odd += 2
		return next
	})
	pi := scale(e.atan(number(1), number(1)), 2)
	root := new(big.Float).SetPrec(bits).Sqrt(pi)
	return sub(number(1), divide(scale(series, 1), root))
}

// off is how far got is from want, in units of the last place of want.
func off(got float64, want *big.Float) float64 {
	near, _ := want.Float64()
	if near == 0 || math.IsInf(near, 0) {
		if got == near {
			return 0
		}
		return math.Inf(1)
	}
	_, k := math.Frexp(near)
	unit := math.Ldexp(1, max(k-53, -1074))
	d, _ := divide(sub(number(got), want), number(unit)).Float64()
	return math.Abs(d)
}

// Every function is within one unit in the last place, erfc and the hyperbolic ones
// within two, of its own series, worked out with 400 bits.
func TestWithinOneUnit(t *testing.T) {
	var e exact
	r := rand.New(rand.NewPCG(1, 19))
	spread := func(low, high float64) func() float64 {
		return func() float64 { return low + (high-low)*r.Float64() }
	}
	sizes := func(low, high float64) func() float64 {
		return func() float64 { return math.Exp2(low + (high-low)*r.Float64()) }
	}
	either := func(of func() float64) func() float64 {
		return func() float64 {
			if r.IntN(2) == 0 {
				return -of()
			}
			return of()
		}
	}
	one := number(1)
	root := func(x *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Sqrt(x) }
	across := func(x *big.Float) *big.Float { return root(sub(one, multiply(x, x))) }
	ten := e.log(number(10))
	for _, c := range []struct {
		name string
		mine func(float64) float64
		true func(*big.Float) *big.Float
		from []func() float64
	}{
		{"exp", Exp, e.exp, []func() float64{spread(-1, 1), spread(-740, 709), either(sizes(-60, 0))}},
		{"expm1", Expm1, func(x *big.Float) *big.Float { return sub(e.exp(x), one) }, []func() float64{spread(-1, 1), spread(-50, 50), either(sizes(-60, 0)), spread(300, 700)}},
		{"log", Log, e.log, []func() float64{spread(0.5, 2), sizes(-1000, 1000), spread(0.999, 1.001)}},
		{"log1p", Log1p, func(x *big.Float) *big.Float { return e.log(add(one, x)) }, []func() float64{spread(-0.9, 2), sizes(-50, 60), spread(-0.01, 0.01)}},
		{"log10", Log10, func(x *big.Float) *big.Float { return divide(e.log(x), ten) }, []func() float64{spread(0.5, 2), sizes(-1000, 1000)}},
		{"sin", Sin, e.sin, []func() float64{spread(-4, 4), spread(-50, 50), either(sizes(-60, 0))}},
		{"cos", Cos, e.cos, []func() float64{spread(-4, 4), spread(-50, 50)}},
		{"tan", Tan, func(x *big.Float) *big.Float { return divide(e.sin(x), e.cos(x)) }, []func() float64{spread(-4, 4), spread(-50, 50)}},
		{"atan", Atan, func(x *big.Float) *big.Float { return e.atan(x, one) }, []func() float64{spread(-4, 4), either(sizes(-60, 60))}},
		{"asin", Asin, func(x *big.Float) *big.Float { return e.atan(x, across(x)) }, []func() float64{spread(-1, 1), either(sizes(-40, 0))}},
		{"acos", Acos, func(x *big.Float) *big.Float { return e.atan(across(x), x) }, []func() float64{spread(-1, 1), spread(0.999, 1)}},
		{"sinh", Sinh, func(x *big.Float) *big.Float { return scale(sub(e.exp(x), divide(one, e.exp(x))), -1) }, []func() float64{spread(-3, 3), spread(-30, 30), either(sizes(-40, 0))}},
		{"cosh", Cosh, func(x *big.Float) *big.Float { return scale(add(e.exp(x), divide(one, e.exp(x))), -1) }, []func() float64{spread(-3, 3), spread(-30, 30)}},
		{"asinh", Asinh, func(x *big.Float) *big.Float { return e.log(add(x, root(add(one, multiply(x, x))))) }, []func() float64{spread(-3, 3), either(sizes(-40, 40))}},
		{"atanh", Atanh, func(x *big.Float) *big.Float { return scale(e.log(divide(add(one, x), sub(one, x))), -1) }, []func() float64{spread(-1, 1), either(sizes(-40, 0))}},
		{"erfc", Erfc, e.erfc, []func() float64{spread(-6, 6), sizes(-40, 0)}},
	} {
		worst, at := 0.0, 0.0
		for _, from := range c.from {
			for range 300 {
				x := from()
				if d := off(c.mine(x), c.true(number(x))); d > worst || math.IsNaN(d) {
					worst, at = d, x
				}
			}
		}
		t.Logf("%s: at most %.3f, at %v", c.name, worst, at)
		limit := 1.0
		if strings.HasSuffix(c.name, "h") || c.name == "erfc" {
			limit = 2
		}
		if !(worst < limit) {
			t.Errorf("%s(%v) is %v units off", c.name, at, worst)
		}
	}
	pow, hypot, angle := 0.0, 0.0, 0.0
	for range 600 {
		x := math.Exp2(-5 + 10*r.Float64())
		y := (r.Float64() - 0.5) * 300
		pow = max(pow, off(Pow(x, y), e.exp(multiply(number(y), e.log(number(x))))))
		p, q := math.Exp2(20*r.Float64()-10), math.Exp2(20*r.Float64()-10)
		hypot = max(hypot, off(Hypot(p, q), root(add(multiply(number(p), number(p)), multiply(number(q), number(q))))))
		angle = max(angle, off(Atan2(p, q), e.atan(number(p), number(q))), off(Atan2(p, -q), e.atan(number(p), number(-q))))
	}
	t.Logf("pow, hypot, atan2: at most %.3f, %.3f, %.3f", pow, hypot, angle)
	if !(max(pow, hypot, angle) < 1) {
		t.Errorf("pow, hypot, atan2 are %v, %v, %v units off", pow, hypot, angle)
	}
}

// The values are printed in M. Abramowitz and I. A. Stegun, Handbook of Mathematical
// Functions, or follow from constants there to as many digits as stand here.
func TestPublished(t *testing.T) {
	for _, c := range []struct {
		got, want, tol float64
		source         string
	}{
		{Exp(1), 2.718281828459045, 0, "AS table 1.1, e"},
		{Log(10), 2.302585092994046, 0, "AS table 1.1, ln 10"},
		{Log10(math.E), 0.4342944819032518, 0, "AS table 1.1"},
		{Pow(2, 0.5), 1.4142135623730951, 2.3e-16, "AS table 1.1, root of 2"},
		{Sin(math.Pi / 6), 0.5, 1.2e-16, "AS 4.3.46"},
		{Cos(math.Pi / 3), 0.5, 1.2e-16, "AS 4.3.46"},
		{Tan(math.Pi / 4), 1, 1.2e-16, "AS 4.3.46"},
		{Sin(1), 0.8414709848078965, 0, "AS table 4.6"},
		{Atan(1), math.Pi / 4, 0, "AS 4.4.3"},
		{Erfc(1), 1 - 0.8427007929, 5e-11, "AS table 7.1, erf 1"},
		{Erfc(2), 1 - 0.9953222650, 5e-11, "AS table 7.1, erf 2"},
		{NormalQuantile(0.975), 1.95996398454005, 5e-14, "AS table 26.5, from memory"},
		{NormalQuantile(0.25), -0.67448975019608, 5e-14, "AS table 26.5: the quartile"},
		{NormalQuantile(1e-10), -6.361340902404056, 1e-13, "from the quantile's own erfc"},
		{LogGamma(0.5), 0.5723649429247001, 1e-14, "half the logarithm of pi, AS 6.1.8"},
		{LogGamma(1.5), -0.1207822376352452, 1e-14, "AS 6.1.9"},
		{LogGamma(6), 4.787491742782046, 1e-14, "the logarithm of 120"},
		{Beta(2, 3, LogBeta(2, 3), 0.4), 0.5248, 5e-15, "1 - (1-x)^3 (1+3x), AS 26.5.6"},
		{Beta(5, 1, LogBeta(5, 1), 0.7), 0.16807, 2e-15, "x^5"},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%v, want %v: %s", c.got, c.want, c.source)
		}
	}
}

// What has a value of its own, beside the math package's.
func TestSpecialValues(t *testing.T) {
	values := []float64{0, math.Copysign(0, -1), 1, -1, 2, 0.5, -3, 4, 1e300, -1e300, math.Inf(1), math.Inf(-1), math.NaN(), math.MaxFloat64}
	same := func(got, want float64) bool {
		return got == want && math.Signbit(got) == math.Signbit(want) || math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) <= 1e-15*math.Abs(want)
	}
	for name, f := range map[string][2]func(float64) float64{
		"exp": {Exp, math.Exp}, "expm1": {Expm1, math.Expm1}, "log": {Log, math.Log}, "log1p": {Log1p, math.Log1p},
		"log10": {Log10, math.Log10}, "atan": {Atan, math.Atan}, "sinh": {Sinh, math.Sinh}, "cosh": {Cosh, math.Cosh}, "asinh": {Asinh, math.Asinh}, "atanh": {Atanh, math.Atanh}, "asin": {Asin, math.Asin}, "acos": {Acos, math.Acos}, "erfc": {Erfc, math.Erfc},
	} {
		for _, x := range values {
			if got, want := f[0](x), f[1](x); !same(got, want) {
				t.Errorf("%s(%v) = %v, want %v", name, x, got, want)
			}
		}
	}
	for name, f := range map[string][2]func(x, y float64) float64{"pow": {Pow, math.Pow}, "hypot": {Hypot, math.Hypot}, "atan2": {Atan2, math.Atan2}} {
		for _, x := range values {
			for _, y := range values {
				if got, want := f[0](x, y), f[1](x, y); !same(got, want) {
					t.Errorf("%s(%v, %v) = %v, want %v", name, x, y, got, want)
				}
			}
		}
	}
	for k := -320; k <= 308; k++ {
		if got := Log10(math.Pow10(k)); k > -308 && got != float64(k) {
			t.Errorf("Log10(1e%d) = %v", k, got)
		}
	}
}

// The distributions beside gonum's.
func TestDistributions(t *testing.T) {
	near := func(got, want float64) bool { return math.Abs(got-want) <= 2e-13*math.Abs(want)+1e-300 }
	r := rand.New(rand.NewPCG(2, 19))
	for range 2000 {
		p := math.Exp2(-60 * r.Float64())
		if !near(NormalQuantile(p), mathext.NormalQuantile(p)) {
			t.Errorf("quantile of %v: %v and %v", p, NormalQuantile(p), mathext.NormalQuantile(p))
		}
		a, b, x := 1+4*r.Float64(), 1+4*r.Float64(), r.Float64()
		if got, want := Beta(a, b, LogBeta(a, b), x), mathext.RegIncBeta(a, b, x); !near(got, want) {
			t.Errorf("beta %v, %v, %v: %v and %v", a, b, x, got, want)
		}
	}
}

var sink float64

func BenchmarkPortable(b *testing.B) {
	for name, f := range map[string]func(float64) float64{
		"exp": Exp, "exp/math": math.Exp, "log": Log, "log/math": math.Log, "sin": Sin, "sin/math": math.Sin,
		"quantile": NormalQuantile, "quantile/gonum": mathext.NormalQuantile,
		"pow": func(x float64) float64 { return Pow(x+1, 7.3) }, "pow/math": func(x float64) float64 { return math.Pow(x+1, 7.3) },
	} {
		b.Run(name, func(b *testing.B) {
			for i := range b.N {
				sink += f(float64(i%1000+1) / 1002)
			}
		})
	}
}
