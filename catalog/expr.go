package catalog

import (
	"fmt"

	"billwright/catalog/formula"
	"billwright/catalog/source"
)

// Expr is a formula as the engineer wrote it, with its place, and once the
// catalog was read, compiled.
type Expr struct {
	source.Text `yaml:"-"`
	compiled    *formula.Formula
}

// FromText keeps the text; it is compiled when the names it may read are known.
func (e *Expr) FromText(t source.Text) error {
	if t.Value == "" {
		return fmt.Errorf("an empty formula")
	}
	e.Text = t
	return nil
}

// Eval reckons the formula over an environment made by Config.Env or CushionForm.Env.
func (e *Expr) Eval(env []formula.Value) (formula.Value, error) { return e.compiled.Eval(env) }

// Working shows how the formula came to its value, such as
// "length - 15 in = 72 in - 15 in = 57 in".
func (e *Expr) Working(env []formula.Value) string { return e.compiled.Working(env) }

// MetricWorking is Working with every value in metric units.
func (e *Expr) MetricWorking(env []formula.Value) string { return e.compiled.MetricWorking(env) }

// Inputs are the names that the formula reads with what they stood for, lengths
// in mm where metric.
func (e *Expr) Inputs(env []formula.Value, metric bool) []formula.Input {
	return e.compiled.Inputs(env, metric)
}
