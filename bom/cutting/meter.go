package cutting

// meter counts work, about one unit for each number touched, so that a budget
// gives the same plan on every machine. A stop asked for from outside ends the
// work too.
type meter struct {
	used, budget int64
	checked      int64
	stop         func() bool
	stopped      bool
}

// stopEvery is how much work goes by between two looks at stop.
const stopEvery = 200_000

func (m *meter) spend(n int64) { m.used += n + 1 }

// done tells whether to finish with what there is.
func (m *meter) done() bool {
	if m.stopped || m.used >= m.budget {
		return true
	}
	if m.stop != nil && m.used >= m.checked {
		m.checked = m.used + stopEvery
		m.stopped = m.stop()
	}
	return m.stopped
}

// part is a meter for a share of the work that is left.
func (m *meter) within(budget int64) *meter {
	return &meter{budget: min(budget, m.budget-m.used), stop: m.stop, stopped: m.stopped}
}

// add books a share's work.
func (m *meter) add(part *meter) {
	m.used += part.used
	m.stopped = m.stopped || part.stopped
}
