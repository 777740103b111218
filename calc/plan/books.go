package plan

import (
	"math"

	"rickyard/calc/enterprise"
	"rickyard/calc/quantity"
)

// A Row is a line of the books: a value for the opening and for each month.
type Row int

// The rows. Money is in base units, without sales tax unless the farm is not
// registered for it.
const (
	Sales             Row = iota
	ChannelFees           // what the channels cost
	VariableCosts         // without the channels' fees
	OwnOverheads          // overheads of single enterprises
	FarmOverheads         // overheads of the whole farm
	Rent                  // of land
	HiredLabour           // wages and on-cost of hours beyond the people's
	Depreciation          // of equipment and infrastructure
	StockUsed             // first stock, used up in its first year
	Interest              // of loans, as it falls due or not
	OverdraftInterest     // paid in the month
	Tax                   // set aside for income tax, at the end of each year
	Profit                // before tax
	OffFarm               // income from elsewhere
	Drawings              // of the household
	Introduced            // savings and gifts
	Grants                // put to capital, not to profit
	LoansDrawn            //
	Principal             // paid back
	InterestPaid          //
	PropertyBought        //
	EquipmentBought       // and infrastructure
	EquipmentSold         // what is left of it, at the end of its life
	StockBought           // first stock
	SalesTaxAdded         // on what is sold less on what is bought
	SalesTaxSettled       // paid to the state, or returned by it if below zero
	TaxPaid               //
	NetCash               // all that comes in less all that goes out

	Bank        // balance at the end of the month; below zero: overdrawn
	Property    // at cost
	Equipment   // and infrastructure, at book value
	Stock       // first stock not yet used
	Growing     // crops and stock that are sold in later years, at cost
	Loans       // owed
	DueSoon     // of that, within twelve months
	Accrued     // interest due and not yet paid
	SalesTaxDue // not yet settled; below zero: to be returned
	TaxDue      // set aside and not yet paid
	Equity      // of the owners

	HoursNeeded // time
	HoursHad    // time that the people have
	HoursHired  // time

	rows
)

// Books hold a plan worked out. Several plans can be worked out into the same
// books, one after the other; that allocates nothing.
type Books struct {
	// Whole keeps the books in whole units of money: each row is rounded as it
	// adds up over the months, so that all sums, in whatever table, are those of
	// the numbers printed. It is meant for the farm's own case.
	Whole bool

	plan *Plan
	all  []float64 // rows one after the other

	tasks []float64 // hours of each task, by column
	// By class and year: what is bought, depreciated and left at the end.
	bought, worn, left []float64
	loans              []float64 // by loan: interest, principal, debt, each by column

	weights  []float64 // of the line at hand
	cohorts  []cohort
	schedule []Instalment
	cost     []float64 // of the year's production at hand, by column
	sold     []float64 // takings likewise
	levels   []float64 // by group and year: how prices stand
}

// A cohort is what is bought of a class at once.
type cohort struct {
	number, cost, book float64
	worn               float64 // book is cost less this, but for rounding
	start              int     // first column that bears depreciation
	monthly            float64 // depreciation, for the year of its life that it is in
}

// NewBooks returns empty books.
func (p *Plan) NewBooks() *Books {
	n := p.columns
	b := &Books{
		plan: p, all: make([]float64, int(rows)*n), tasks: make([]float64, len(p.tasks)*n),
		loans:   make([]float64, 3*len(p.loans)*n),
		weights: make([]float64, margin+n+12), cohorts: make([]cohort, 0, p.Years+1),
		schedule: make([]Instalment, 0, 50*12), cost: make([]float64, n), sold: make([]float64, n),
		levels: make([]float64, int(groups)*p.Years),
	}
	years := len(p.classes) * p.Years
	b.bought, b.worn, b.left = make([]float64, years), make([]float64, years), make([]float64, years)
	return b
}

// margin is how many months before a year its cycles may reach.
const margin = 12

// Row returns a row's values: that of the opening, then one a month. They must
// not be changed.
func (b *Books) Row(r Row) []float64 {
	n := b.plan.columns
	return b.all[int(r)*n : (int(r)+1)*n]
}

// Year returns the sum of a row over a year, counted from 0.
func (b *Books) Year(r Row, year int) float64 {
	sum := 0.0
	for _, x := range b.Row(r)[1+12*year : 13+12*year] {
		sum += x
	}
	return sum
}

// End returns a row's value at the end of a year, or at the opening for -1.
func (b *Books) End(r Row, year int) float64 { return b.Row(r)[12*(year+1)] }

// Assets returns all that is owned in a column.
func (b *Books) Assets(column int) float64 {
	sum := math.Max(0, b.Row(Bank)[column]) + math.Max(0, -b.Row(SalesTaxDue)[column])
	for _, r := range []Row{Property, Equipment, Stock, Growing} {
		sum += b.Row(r)[column]
	}
	return sum
}

// Liabilities returns all that is owed in a column.
func (b *Books) Liabilities(column int) float64 {
	sum := math.Max(0, -b.Row(Bank)[column]) + math.Max(0, b.Row(SalesTaxDue)[column])
	for _, r := range []Row{Loans, Accrued, TaxDue} {
		sum += b.Row(r)[column]
	}
	return sum
}

// Current returns what is owned and turns to money within a year, and what must
// be paid within one.
func (b *Books) Current(column int) (assets, liabilities float64) {
	assets = math.Max(0, b.Row(Bank)[column]) + math.Max(0, -b.Row(SalesTaxDue)[column]) + b.Row(Stock)[column] + b.Row(Growing)[column]
	liabilities = math.Max(0, -b.Row(Bank)[column]) + math.Max(0, b.Row(SalesTaxDue)[column]) + b.Row(DueSoon)[column] + b.Row(Accrued)[column] + b.Row(TaxDue)[column]
	return
}

// Work works the plan out.
func (p *Plan) Work(in *Inputs, b *Books) {
	w := &run{Plan: p, in: in, b: b, last: len(p.vintages) - 1}
	if p.Years > 0 {
		w.last = p.byYear[p.Years-1]
	}
	clear(b.all)
	clear(b.tasks)
	clear(b.loans)
	clear(b.bought)
	clear(b.worn)
	clear(b.left)
	w.factors()
	for i := range p.enterprises {
		w.enterprise(&p.enterprises[i])
	}
	w.farm()
	for i := range p.classes {
		w.class(i)
	}
	for i := range p.loans {
		w.loan(i)
	}
	if b.Whole {
		w.settle()
	}
	w.close()
}

// round rounds an amount of money if the books are kept in whole units.
func (w *run) round(x float64) float64 {
	if !w.b.Whole {
		return x
	}
	return math.Round(x)
}

// settle rounds the rows that are not rounded where they are made. A row's sum
// from the opening to any month is then never more than half a unit off.
func (w *run) settle() {
	for _, r := range []Row{Sales, ChannelFees, VariableCosts, OwnOverheads, FarmOverheads, Rent, HiredLabour, StockUsed,
		OffFarm, Drawings, Introduced, Grants, PropertyBought, StockBought, SalesTaxAdded} {
		sum, whole := 0.0, 0.0
		for c, x := range w.row(r) {
			sum += x
			next := math.Round(sum)
			w.row(r)[c] = next - whole
			whole = next
		}
	}
	for c, x := range w.row(Growing) {
		w.row(Growing)[c] = math.Round(x)
	}
}

// run is one run of Work. It lives on the stack.
type run struct {
	*Plan
	in   *Inputs
	b    *Books
	last int // vintage of the last year, from which what has no year of its own is read: loans, lives, rates

	// By group: what of an amount in the data is a cost or an income, and what
	// is sales tax beside it.
	kept, levied [groups]float64

	// Whose months lie in b.weights, of which vintage, and where they begin and
	// end.
	laid      *line
	laidOf    int
	low, high int

	paid float64 // for the class at hand, so far
}

func (w *run) row(r Row) []float64 { return w.b.Row(r) }

func (w *run) get(slot int) float64 { return w.in.at(w.last, slot) }

func (w *run) factors() {
	for g := range groups {
		rate := w.get(w.salesTax[g])
		w.kept[g], w.levied[g] = 1, 0
		switch {
		case g == ofWages || g == ofLiving:
		case w.Registered && w.WithoutTax:
			w.levied[g] = rate
		case w.Registered:
			w.kept[g] = 1 / (1 + rate)
			w.levied[g] = 1 - w.kept[g]
		case w.WithoutTax && g != ofSales:
			w.kept[g] = 1 + rate
		}
		rise, level := 1+float64(w.get(w.inflation[g])*yearSeconds), 1.0
		for year := range w.Years {
			w.b.levels[g*w.Years+year] = level
			level *= rise
		}
	}
}

// level returns how prices of a group stand in a column.
func (w *run) level(g, column int) float64 { return w.b.levels[g*w.Years+max(0, column-1)/12] }

// put adds an amount to a row, and the sales tax on it.
func (w *run) put(r Row, g, column int, amount float64) float64 {
	amount *= w.level(g, column)
	w.row(r)[column] += float64(amount * w.kept[g])
	if w.levied[g] != 0 {
		if g == ofSales {
			w.row(SalesTaxAdded)[column] += float64(amount * w.levied[g])
		} else {
			w.row(SalesTaxAdded)[column] -= float64(amount * w.levied[g])
		}
	}
	return amount * w.kept[g]
}

// months rounds a time to whole months.
func months(seconds float64) int { return int(math.Round(seconds / monthSeconds)) }

func (w *run) enterprise(e *business) {
	// What each year's scale sets going is laid out by itself, so that what is
	// sold years later can be valued until then.
	var pool pool
	if !e.lagged {
		for i := range e.lines {
			for year := e.year; year < w.Years; year++ {
				w.line(e, &e.lines[i], year, &pool)
			}
		}
		return
	}
	for year := e.year; year < w.Years; year++ {
		clear(w.b.cost)
		clear(w.b.sold)
		pool.takings = 0
		for i := range e.lines {
			w.line(e, &e.lines[i], year, &pool)
		}
		w.growing(&pool)
	}
}

// A pool is the cost of one year's production of an enterprise that sells
// later.
type pool struct{ takings float64 }

func (w *run) line(e *business, l *line, year int, pool *pool) {
	v := w.byYear[year]
	amount := w.in.at(v, l.amount)
	var fees, selling float64
	if l.fees != none {
		fees = w.in.at(v, l.fees)
	}
	if l.selling != none {
		selling = w.in.at(v, l.selling)
	}
	switch {
	case l.every != none:
		// The first time in the first year, but for a lag.
		if every := max(1, months(w.in.at(v, l.every))/12); (year-e.year)%every != 0 {
			return
		}
	case l.once && year > e.year:
		// What is needed once is needed again for what is added.
		before := w.byYear[year-1]
		amount = math.Max(0, amount-w.in.at(before, l.amount))
	}
	first := 1 + 12*year
	if l.lag != none {
		first += months(w.in.at(v, l.lag))
	}
	if l.kind == enterprise.Sale {
		pool.takings += amount
	}
	if l.cycle != none {
		w.cycle(l, v)
		for i := w.low; i < w.high; i++ {
			if weight := w.b.weights[i]; weight != 0 {
				w.spread(e, l, pool, first+i-margin, weight, amount, fees, selling)
			}
		}
		return
	}
	for m := range 12 {
		if weight := w.in.at(v, l.months+(w.Start.Of()+m)%12); weight != 0 {
			w.spread(e, l, pool, first+m, weight, amount, fees, selling)
		}
	}
}

// cycle lays out the months of a line that follows a cycle, unless they are
// those of the line before.
func (w *run) cycle(l *line, v int) {
	if w.laid == l && w.laidOf == v {
		return
	}
	w.laid, w.laidOf = l, v
	c := l.cycle
	every, number, to := w.in.at(v, c+1), w.in.at(v, c+2), w.in.at(v, c+4)
	// A month has 28 days at least, so nothing lies beyond these.
	reach := margin + 14 + int(math.Min(float64(w.columns), math.Max(0, float64(every*number)+to)/(28*daySeconds)))
	weights := w.b.weights[:min(len(w.b.weights), reach)]
	enterprise.CycleMonths(w.in.at(v, c), every, number, w.in.at(v, c+3), to, w.Start.Of(), margin, weights)
	w.low, w.high = 0, len(weights)
	for w.low < w.high && weights[w.low] == 0 {
		w.low++
	}
	for w.high > w.low && weights[w.high-1] == 0 {
		w.high--
	}
}

func (w *run) spread(e *business, l *line, pool *pool, column int, weight, amount, fees, selling float64) {
	column = max(1, column) // what falls before the plan is paid as it begins
	switch {
	case l.kind == enterprise.Sale && column < e.sells:
		pool.takings -= float64(weight * amount) // never comes
		return
	case column >= w.columns, column < e.from:
		return
	}
	switch l.kind {
	case enterprise.Sale:
		takings := w.put(Sales, ofSales, column, weight*amount)
		w.put(ChannelFees, ofCosts, column, weight*fees)
		if l.sold != none {
			w.b.tasks[l.sold*w.columns+column] += float64(weight * selling)
			w.row(HoursNeeded)[column] += float64(weight * selling)
		}
		if e.lagged {
			w.b.sold[column] += takings
		}
	case enterprise.Cost:
		cost := w.put(VariableCosts, ofCosts, column, weight*amount)
		if e.lagged {
			w.b.cost[column] += cost
		}
	case enterprise.Overhead:
		w.put(OwnOverheads, ofOverheads, column, weight*amount)
	case enterprise.Hours:
		w.b.tasks[l.task*w.columns+column] += float64(weight * amount)
		w.row(HoursNeeded)[column] += float64(weight * amount)
	}
}

// growing values what one year set going and has not sold yet at its variable
// cost: the part of all its takings that is still to come.
func (w *run) growing(p *pool) {
	if p.takings <= 0 {
		return
	}
	cost, sold := 0.0, 0.0
	value := w.row(Growing)
	all := p.takings * w.kept[ofSales]
	for column := 1; column < w.columns; column++ {
		cost += w.b.cost[column]
		sold += w.b.sold[column] / w.level(ofSales, column)
		value[column] += float64(cost * math.Max(0, 1-sold/all))
	}
}

func (w *run) farm() {
	for _, m := range w.money {
		switch {
		case m.at >= w.columns:
		case m.grant:
			w.row(Grants)[m.at] += w.get(m.amount)
		default:
			w.row(Introduced)[m.at] += w.get(m.amount)
		}
	}
	for _, o := range w.spent {
		if o.at >= w.columns {
			continue
		}
		amount := w.get(o.amount)
		if !o.stock {
			w.row(PropertyBought)[o.at] += amount // no sales tax: a lawyer's matter
			continue
		}
		amount = w.put(StockBought, ofCosts, o.at, amount)
		for m := range 12 {
			if column := max(1, o.at) + m; column < w.columns {
				w.row(StockUsed)[column] += amount / 12
			}
		}
	}
	for column := 1; column < w.columns; column++ {
		v := w.byYear[(column-1)/12]
		get := func(slot int) float64 { return w.in.at(v, slot) }
		for _, slot := range w.overheads {
			w.put(FarmOverheads, ofOverheads, column, get(slot)*monthSeconds)
		}
		for _, r := range w.rents {
			w.put(Rent, ofRent, column, get(r[0])*get(r[1])*monthSeconds)
		}
		w.put(Drawings, ofLiving, column, get(w.drawings)*monthSeconds)
		month := w.calendar(column)
		length := float64(float64(quantity.MonthDays[month]) * daySeconds)
		for i, p := range w.people {
			share := get(p.hours)
			if column < p.until {
				share -= get(p.elsewhere)
				w.put(OffFarm, ofWages, column, get(p.income)*monthSeconds)
			}
			if len(w.in.works) > 0 {
				share *= w.in.works[i*w.columns+column]
			}
			away := 0.0
			switch {
			case p.away == none:
			case p.monthly:
				away = get(p.away + month)
			default:
				away = get(p.away) / 12
			}
			// A day away is a day of the ordinary week's hours.
			w.row(HoursHad)[column] += float64(math.Max(0, share) * math.Max(0, length-away))
		}
		if hired := w.row(HoursNeeded)[column] - w.row(HoursHad)[column]; hired > 0 && w.staffed {
			w.row(HoursHired)[column] = hired
			w.put(HiredLabour, ofWages, column, hired*get(w.wage)*(1+get(w.employment)))
		}
	}
}

// need returns how many of a class are needed in a year, of what cost each.
func (w *run) need(c *class, year int) (number, each float64) {
	v := w.byYear[year]
	return w.in.at(v, c.number), w.in.at(v, c.each)
}

func (w *run) class(i int) {
	c := &w.classes[i]
	b := w.b
	b.cohorts = b.cohorts[:0]
	w.paid = 0
	have := 0.0
	life := max(1, months(w.get(c.life)))
	residual := w.get(c.residual)
	for year := max(0, c.from-1) / 12; year < w.Years; year++ {
		begin, end := 1+12*year, 12*(year+1)
		number, each := w.need(c, year)
		if more := number - have; more > 1e-9*number && more > 0 {
			at := begin
			if len(b.cohorts) == 0 && c.from <= end && (c.from >= begin || year == 0) {
				at = c.from
			}
			q := cohort{number: more, start: max(1, at)}
			w.buy(i, at, &q, each)
			b.cohorts = append(b.cohorts, q)
			have = number
		}
		for k := range b.cohorts {
			q := &b.cohorts[k]
			for column := max(begin, q.start); column <= end && q.number > 0; column++ {
				if column == q.start+life {
					// Its life is over: what is left is sold, and as many bought as
					// are still needed.
					w.row(EquipmentSold)[column] += q.book
					again := math.Min(q.number, math.Max(0, number-(have-q.number)))
					have -= q.number - again
					*q = cohort{number: again, start: column}
					if again == 0 {
						break
					}
					w.buy(i, column, q, each)
				}
				age := column - q.start
				if age%12 == 0 {
					q.monthly = w.wear(q, residual, life, age)
				}
				q.worn += q.monthly
				d := q.book - w.round(q.cost-q.worn)
				q.book -= d
				w.row(Depreciation)[column] += d
				w.row(Equipment)[column] += q.book
				b.worn[i*w.Years+year] += d
			}
			b.left[i*w.Years+year] += q.book
		}
	}
}

// buy pays for a cohort.
func (w *run) buy(i, column int, q *cohort, each float64) {
	row := &w.row(EquipmentBought)[column]
	before := *row
	// Rounded as the purchases of its class add up, so that many small ones don't
	// all err to one side.
	whole := w.round(w.paid)
	w.paid += w.put(EquipmentBought, ofCapital, column, q.number*each)
	q.cost = w.round(w.paid) - whole
	if !w.b.Whole {
		q.cost = *row - before
	}
	*row = before + q.cost
	q.book = q.cost
	w.b.bought[i*w.Years+max(0, column-1)/12] += q.cost
	if column == 0 {
		w.row(Equipment)[0] += q.cost
	}
}

// wear is the monthly depreciation of a cohort for the next year of its life.
func (w *run) wear(q *cohort, residual float64, life, age int) float64 {
	left := float64(q.cost * residual)
	if !w.Declining {
		return StraightLine(q.cost, left, float64(life)) // a life in months gives it by the month
	}
	toGo := float64(life-age) / 12
	return decline(q.cost-q.worn, left, w.get(w.declining), float64(life)/12, toGo) / math.Min(12, float64(life-age))
}

func (w *run) loan(i int) {
	l := &w.loans[i]
	if l.at >= w.columns {
		return
	}
	b := w.b
	n := w.columns
	interest, principal, debt := b.loans[3*i*n:][:n], b.loans[(3*i+1)*n:][:n], b.loans[(3*i+2)*n:][:n]
	amount := w.get(l.amount)
	every := max(1, months(w.get(l.every)))
	term := months(w.get(l.term))
	rate := w.get(l.rate) * monthSeconds
	t := Terms{Amount: amount, Rate: rate * float64(every), InterestOnly: months(w.get(l.free)) / every, Balloon: w.get(l.balloon), Repayment: l.repaid}
	t.Periods = min((term+every-1)/every, cap(b.schedule))
	if term == 0 {
		// Nothing is said of paying it back: interest goes on.
		t.Periods, t.Repayment = cap(b.schedule), AtEnd
	}
	b.schedule = t.Schedule(b.schedule[:0])
	drawn := w.round(amount)
	w.row(LoansDrawn)[l.at] += drawn
	debt[l.at] = drawn
	if l.at == 0 {
		w.row(Loans)[0] += drawn
	}
	owed := drawn
	charged, fallen := 0.0, 0.0 // interest since it was drawn, and up to the last payment
	soon := w.row(DueSoon)
	start := max(1, l.at)
	for column := start; column < n; column++ {
		month := column - start // whole months since it was drawn
		period := month / every
		if period < len(b.schedule) {
			before := w.round(charged)
			charged += b.schedule[period].Interest / float64(every)
			interest[column] = w.round(charged) - before
			w.row(Interest)[column] += interest[column]
			if (month+1)%every == 0 {
				w.row(InterestPaid)[column] += w.round(charged) - w.round(fallen)
				fallen = charged
				after := w.round(b.schedule[period].After)
				principal[column] = owed - after
				w.row(Principal)[column] += principal[column]
				owed = after
			}
		}
		debt[column] = owed
		w.row(Loans)[column] += owed
	}
	// What falls due within the twelve months after each column.
	for column := l.at; column < n; column++ {
		later := column + 12 - start // months since it was drawn
		after := drawn
		if k := (later + 1) / every; later >= 0 && k > 0 && len(b.schedule) > 0 {
			after = w.round(b.schedule[min(k, len(b.schedule))-1].After)
		}
		soon[column] += math.Max(0, debt[column]-after)
	}
}

// close draws the balances up, month by month. Debts and the worth of equipment
// come from their schedules, the owners' equity from the profit, the bank from
// what is paid, so that a balance sheet that ties says something.
func (w *run) close() {
	var bank, property, stock, accrued, salesTax, tax, equity, profitOfYear, owedAtQuarter float64
	r := w.row
	taxAfter := max(1, months(w.get(w.taxAfter)))
	share := w.get(w.tax)
	overdraft := w.get(w.overdraftRate) * monthSeconds
	growing := 0.0
	for column := range w.columns {
		if bank < 0 {
			r(OverdraftInterest)[column] = w.round(-bank * overdraft)
		}
		// A quarter's sales tax is settled in the month after it.
		if column > 1 && (column-1)%3 == 0 {
			r(SalesTaxSettled)[column] = owedAtQuarter
		}
		grown := r(Growing)[column] - growing
		growing = r(Growing)[column]
		profit := r(Sales)[column] - r(ChannelFees)[column] - r(VariableCosts)[column] + grown - r(StockUsed)[column] -
			r(OwnOverheads)[column] - r(FarmOverheads)[column] - r(Rent)[column] - r(HiredLabour)[column] -
			r(Depreciation)[column] - r(Interest)[column] - r(OverdraftInterest)[column]
		r(Profit)[column] = profit
		profitOfYear += profit
		if column > 0 && column%12 == 0 {
			due := w.round(share * math.Max(0, profitOfYear))
			profitOfYear = 0
			r(Tax)[column] = due
			if column+taxAfter < w.columns {
				r(TaxPaid)[column+taxAfter] = due
			}
		}
		net := r(Sales)[column] - r(ChannelFees)[column] - r(VariableCosts)[column] - r(OwnOverheads)[column] - r(FarmOverheads)[column] -
			r(Rent)[column] - r(HiredLabour)[column] - r(OverdraftInterest)[column] - r(InterestPaid)[column] - r(Principal)[column] +
			r(LoansDrawn)[column] + r(Introduced)[column] + r(Grants)[column] + r(OffFarm)[column] - r(Drawings)[column] -
			r(PropertyBought)[column] - r(EquipmentBought)[column] + r(EquipmentSold)[column] - r(StockBought)[column] +
			r(SalesTaxAdded)[column] - r(SalesTaxSettled)[column] - r(TaxPaid)[column]
		r(NetCash)[column] = net
		bank += net
		property += r(PropertyBought)[column]
		stock += r(StockBought)[column] - r(StockUsed)[column]
		accrued += r(Interest)[column] - r(InterestPaid)[column]
		salesTax += r(SalesTaxAdded)[column] - r(SalesTaxSettled)[column]
		tax += r(Tax)[column] - r(TaxPaid)[column]
		equity += profit - r(Tax)[column] + r(Introduced)[column] + r(Grants)[column] + r(OffFarm)[column] - r(Drawings)[column]
		if column%3 == 0 {
			owedAtQuarter = salesTax
		}
		r(Bank)[column], r(Property)[column], r(Stock)[column] = bank, property, stock
		r(Accrued)[column], r(SalesTaxDue)[column], r(TaxDue)[column], r(Equity)[column] = accrued, salesTax, tax, equity
	}
}
