package cutting

// meter counts work, about one unit for each number touched, so that a budget
// gives the same plan on every machine. A stop asked for from outside ends the
// work too.
type meter struct {
	used, budget int64
	// pause ends a share of the work; 0 for none.
	pause   int64
	checked int64
	stop    func() bool
	stopped bool
}

// stopEvery is how much work goes by between two looks at stop.
const stopEvery = 200_000

func (m *meter) spend(n int64) { m.used += n + 1 }

// done tells whether to finish with what there is.
func (m *meter) done() bool {
	if m.stopped || m.used >= m.budget || m.pause > 0 && m.used >= m.pause {
		return true
	}
	if m.stop != nil && m.used >= m.checked {
		m.checked = m.used + stopEvery
		m.stopped = m.stop()
	}
	return m.stopped
}

// share runs f with a part of the work; done is true inside when that is used up.
func (m *meter) share(work int64, f func()) {
	before := m.pause
	if m.pause = m.used + work; before > 0 {
		m.pause = min(m.pause, before)
	}
	f()
	m.pause = before
}
