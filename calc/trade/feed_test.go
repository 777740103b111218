package trade

import (
	"math"
	"testing"
)

// NRC 2012, Nutrient Requirements of Swine, Table 16-1A: gain and feed a day by
// weight class, from memory. Feed for each kilogram of gain in the classes 25-50,
// 50-75, 75-100 and 100-135 kg, set at their middles, gives a straight line; feed
// and days of the classes added up are the check.
func TestFeedOfPigs(t *testing.T) {
	from := []float64{25, 50, 75, 100}
	to := []float64{50, 75, 100, 135}
	gain := []float64{0.758, 0.900, 0.917, 0.867}
	feed := []float64{1.582, 2.229, 2.636, 2.933}
	eaten, days := 0.0, 0.0
	for i := range 3 {
		eaten += (to[i] - from[i]) * feed[i] / gain[i]
		days += (to[i] - from[i]) / gain[i]
	}
	line := func(weight float64) float64 {
		rise := (feed[2]/gain[2] - feed[0]/gain[0]) / 50
		return feed[0]/gain[0] + rise*(weight-37.5)
	}
	near(t, "feed from 25 to 100 kg", call(t, "feed_between", 25.0, 100.0, line(25), line(100))[0], eaten, 0.5)
	near(t, "the class beyond, on the same line", call(t, "feed_between", 100.0, 135.0, line(100), line(135))[0], 35*feed[3]/gain[3], 2.5)
	// The gains of the table are no straight line: the middle class lies 7 % above
	// one through its neighbours, which makes the time two days longer.
	gains := func(weight float64) float64 { return (gain[0] + (gain[2]-gain[0])/50*(weight-37.5)) / day }
	near(t, "days from 25 to 100 kg", call(t, "days_between", 25.0, 100.0, gains(25), gains(100))[0]/day, days, 2.5)
}

// Male broilers of NRC, Nutrient Requirements of Poultry, 1984, table 1: weights in
// grams at 6 to 9 weeks, and the feed of each week. The line against weight is
// drawn through the seventh and the ninth week alone, each at its mean weight; the
// feed of all three weeks must come out near what the table adds up to.
func TestFeedOfBroilers(t *testing.T) {
	weight := []float64{1690, 2100, 2520, 2925}
	feed := []float64{1095, 1210, 1320}
	mean := func(week int) float64 { return (weight[week] + weight[week+1]) / 2 }
	taken := func(week int) float64 { return feed[week] / (weight[week+1] - weight[week]) }
	rise := (taken(2) - taken(0)) / (mean(2) - mean(0))
	line := func(w float64) float64 { return taken(0) + rise*(w-mean(0)) }
	near(t, "feed from 6 to 9 weeks", call(t, "feed_between", 1690.0, 2925.0, line(1690), line(2925))[0], 1095+1210+1320, 40)
	near(t, "feed of the eighth week", call(t, "feed_between", 2100.0, 2520.0, line(2100), line(2520))[0], 1210, 40)
}

// Slaughter pig standards for 1997 (Gadd 1996, quoted in a trade paper): from 30
// to 100 kg at 929 g a day and 2.46 kg of feed for each of gain, 172 kg of feed.
func TestEvenGrowth(t *testing.T) {
	near(t, "feed", call(t, "feed_between", 30.0, 100.0, 2.46, 2.46)[0], 172, 0.5)
	near(t, "days", call(t, "days_between", 30.0, 100.0, 0.929/day, 0.929/day)[0]/day, 70/0.929, 1e-6)
	near(t, "no growth takes no time", call(t, "days_between", 30.0, 30.0, 0.5/day, 0.9/day)[0], 0, 0)
}

// The time is that of small steps added up.
func TestDaysBetweenAddsUp(t *testing.T) {
	const steps = 100_000
	sum := 0.0
	for i := range steps {
		weight := 25 + 70*(float64(i)+0.5)/steps
		sum += 70. / steps / (0.45 + 0.3*(weight-25)/70)
	}
	near(t, "days", call(t, "days_between", 25.0, 95.0, 0.45/day, 0.75/day)[0]/day, sum, 1e-6)
	near(t, "in two parts", call(t, "days_between", 25.0, 60.0, 0.45/day, 0.60/day)[0]/day+
		call(t, "days_between", 60.0, 95.0, 0.60/day, 0.75/day)[0]/day, sum, 1e-6)
}

func TestFeedLimits(t *testing.T) {
	none(t, "weights the wrong way round", call(t, "feed_between", 90.0, 30.0, 2.0, 3.0))
	none(t, "no conversion", call(t, "feed_between", 30.0, 90.0, 0.0, 3.0))
	none(t, "no gain", call(t, "days_between", 30.0, 90.0, 0.0, 0.8/day))
	none(t, "no weight", call(t, "days_between", math.NaN(), 90.0, 0.5/day, 0.8/day))
}
