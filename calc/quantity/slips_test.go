package quantity

import "testing"

// What people write for a number with its unit is answered with what to write.
func TestSlipsOfNumbers(t *testing.T) {
	s, err := NewSystem("USD", []Thing{{Name: "doe"}})
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		"$9/doe":       `"$9/doe" has its money before the number; write 9 USD/doe`,
		"$2,400":       `"$2,400" has its money before the number; write 2,400 USD`,
		"US$12.50":     `"US$12.50" has its money before the number; write 12.50 USD`,
		"USD 12 / doe": `"USD 12 / doe" is not a number with a unit; expected something like 0.52 USD/kg`,
		"USD 12":       `"USD 12" has its money before the number; write 12 USD`,
		"9,5 kg":       `"9,5 kg" has a decimal comma; write it with a point`,
		"10-12 kg":     `"10-12 kg" is two numbers; write the likely one as value, with low: 10 kg and high: 12 kg beside it`,
		"1.234,50 USD": `"1.234,50 USD" is not a number; expected digits with one decimal point, and thousands in threes if they are parted at all, as in 12,000.50`,
	} {
		if _, err := s.Parse(text); err == nil || err.Error() != want {
			t.Errorf("%s: %v\nwant %s", text, err, want)
		}
	}
	if q, err := s.Parse("2,400 USD"); err != nil || q.Value != 2400 {
		t.Errorf("2,400 USD is %v, %v", q.Value, err)
	}
}
