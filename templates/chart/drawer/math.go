package drawer

import (
	"math"

	"github.com/dop251/goja"

	"rickyard/calc/portable"
)

// portableMath puts functions that are the same on every processor in the place of
// the interpreter's own, and takes away those that the script has no use for, so
// that a newer one can't use them unseen. Its sums and products are single steps
// already.
func portableMath(vm *goja.Runtime) error {
	object := vm.Get("Math").ToObject(vm)
	for name, f := range map[string]func(x float64) float64{
		"exp": portable.Exp, "log": portable.Log, "sin": portable.Sin, "cos": portable.Cos, "tan": portable.Tan, "asin": portable.Asin, "acos": portable.Acos, "atan": portable.Atan,
	} {
		if err := object.Set(name, func(call goja.FunctionCall) goja.Value {
			return vm.ToValue(f(call.Argument(0).ToFloat()))
		}); err != nil {
			return err
		}
	}
	for name, f := range map[string]func(x, y float64) float64{"pow": power, "atan2": portable.Atan2} {
		if err := object.Set(name, func(call goja.FunctionCall) goja.Value {
			return vm.ToValue(f(call.Argument(0).ToFloat(), call.Argument(1).ToFloat()))
		}); err != nil {
			return err
		}
	}
	for _, name := range []string{"acosh", "asinh", "atanh", "cbrt", "cosh", "expm1", "hypot", "log10", "log1p", "log2", "sinh", "tanh"} {
		if err := object.Delete(name); err != nil {
			return err
		}
	}
	return nil
}

// power is Pow but for what the language wants otherwise: ECMA-262, 6.1.6.1.3, has
// no number for 1 to a power without end, or to one that is no number.
func power(x, y float64) float64 {
	if math.IsNaN(y) || math.Abs(x) == 1 && math.IsInf(y, 0) {
		return math.NaN()
	}
	return portable.Pow(x, y)
}
