package formula

// Input is a name that a formula reads, and what it stood for.
type Input struct {
	Name string
	// Value is written as in the formula's working; empty for a name that was
	// not set, which the formula did not need.
	Value string
}

// Inputs gives the names that the formula may read, in the order of reading, each with its value
// in env; lengths in mm and areas in mm2 where metric.
func (f *Formula) Inputs(env []Value, metric bool) []Input {
	how := showing{env: env, values: true, metric: metric}
	inputs := make([]Input, 0, len(f.names))
	f.root.inputs(how, func(name, value string) {
		for i := range inputs {
			if inputs[i].Name == name {
				return
			}
		}
		inputs = append(inputs, Input{name, value})
	})
	return inputs
}

func (n *node) inputs(how showing, take func(name, value string)) {
	if n.isVariable() {
		value := ""
		if n.slot < len(how.env) && how.env[n.slot].kind != 0 {
			value = string(how.shown(nil, how.env[n.slot]))
		}
		take(n.name, value)
	}
	for _, a := range n.args {
		a.inputs(how, take)
	}
}
