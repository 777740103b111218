package trade

import "testing"

func TestPearson(t *testing.T) {
	for _, c := range []struct {
		source               string
		wanted, a, b, shareA float64
		within               float64
	}{
		{"Montana State University Extension, example 1: hay and silage", 0.11, 0.1225, 0.108, 0.138, 0.0005},
		{"the same, example 2: hay and supplement", 0.098, 0.0895, 0.40, 0.973, 0.0005},
		{"the same, example 3: supplement and grain, worked out apart", 0.15, 0.39, 0.108, 0.14894, 0.00001},
		{"school exercise: maize and soya meal, 28 of 36 parts", 0.16, 0.08, 0.44, 28. / 36, 1e-12},
		{"Chicago school exercise, problem 1: 328.6 lb of maize in 500", 0.21, 0.09, 0.44, 328.6 / 500, 0.0001},
		{"question-and-answer page: 1,487.3 lb of maize in 2,000; it prints 1,200, which would be 23.1 %", 0.18, 0.089, 0.444, 1487.3 / 2000, 0.0001},
		{"all of one feed", 0.44, 0.08, 0.44, 0, 0},
	} {
		near(t, c.source, call(t, "pearson_share", c.wanted, c.a, c.b)[0], c.shareA, c.within)
	}
	none(t, "richer than both feeds", call(t, "pearson_share", 0.5, 0.08, 0.44))
	none(t, "two feeds alike", call(t, "pearson_share", 0.2, 0.2, 0.2))
}

// Gaines' formula in several glossaries: 30 kg at 3.5 %, 20 kg at 5 %, and the
// same milk at 4 %.
func TestFatCorrected(t *testing.T) {
	near(t, "30 kg at 3.5 %", call(t, "fat_corrected", 30.0, 0.035)[0], 27.75, 1e-9)
	near(t, "20 kg at 5 %", call(t, "fat_corrected", 20.0, 0.05)[0], 23, 1e-9)
	near(t, "25 kg at 4 %", call(t, "fat_corrected", 25.0, 0.04)[0], 25, 1e-9)
	none(t, "fat over the whole", call(t, "fat_corrected", 25.0, 1.4))
}
