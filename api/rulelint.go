package api

import (
	"context"
	"fmt"

	"billwright/catalog"
)

type getLintInput struct {
	Product string `query:"product" maxLength:"100" doc:"Only of this product."`
}

// lintReply is what is wrong with the rules of the catalog in force as a whole.
type lintReply struct {
	Revision int           `json:"revision"`
	Findings []ruleFinding `json:"findings"`
	Refuses  []productMay  `json:"may_still_refuse" doc:"What could not be made a rule of choices, by product."`
}

type productMay struct {
	Product string `json:"product"`
	refusalPending
}

type ruleFinding struct {
	Product   string       `json:"product"`
	Kind      string       `json:"kind" doc:"Such as dead option, forced option, redundant rule, rule never applies, nothing can be built."`
	Attribute string       `json:"attribute,omitempty"`
	Values    string       `json:"values,omitempty"`
	Rule      string       `json:"rule,omitempty"`
	Says      string       `json:"says"`
	Because   []reasonRule `json:"because" doc:"The rules that make it so, none of them needlessly."`
	File      string       `json:"file,omitempty"`
	Line      int          `json:"line,omitempty"`
}

type getLintOutput struct{ Body lintReply }

// getLint tells what is wrong with the rules of the catalog in force.
func (s *Server) getLint(ctx context.Context, in *getLintInput) (*getLintOutput, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	day := st.catalog.Calendar.DayOf(st.now(s.set.Clock))
	out := &getLintOutput{lintReply{Revision: st.catalog.Revision, Findings: []ruleFinding{}, Refuses: []productMay{}}}
	for code, p := range st.catalog.Products.All() {
		if in.Product != "" && code.Value != in.Product {
			continue
		}
		out.Body.Findings = append(out.Body.Findings, showLint(st.catalog.LintProduct(p, day))...)
		if made, err := st.catalog.Choosing(p, day); err == nil {
			for _, r := range made.Refuses {
				out.Body.Refuses = append(out.Body.Refuses, productMay{code.Value, refusalPending{r.What, r.Says, append([]string{}, r.Attributes...)}})
			}
		}
	}
	return out, nil
}

func showLint(findings []catalog.RuleFinding) []ruleFinding {
	all := make([]ruleFinding, len(findings))
	for i, f := range findings {
		all[i] = ruleFinding{f.Product, f.Kind, f.Attribute, f.Values, f.Rule, f.Says, showRules(f.Because), f.Pos.File, f.Pos.Line}
	}
	return all
}

type whereUsedInput struct {
	Rule   string `query:"rule" maxLength:"100" doc:"Code of a rule."`
	Option string `query:"option" maxLength:"100" doc:"Code of an option, such as of a finish or a fabric."`
}

type whereUsedReply struct {
	Revision int        `json:"revision"`
	Uses     []useShown `json:"uses"`
}

type useShown struct {
	Product   string      `json:"product"`
	Attribute string      `json:"attribute,omitempty" doc:"That has the option."`
	Option    string      `json:"option,omitempty"`
	Rule      *reasonRule `json:"rule,omitempty" doc:"Absent where the option is offered."`
	With      []string    `json:"with,omitempty" doc:"The attributes that the rule is about."`
}

type whereUsedOutput struct{ Body whereUsedReply }

// getWhereUsed tells where a rule or an option is used.
func (s *Server) getWhereUsed(ctx context.Context, in *whereUsedInput) (*whereUsedOutput, error) {
	if (in.Rule == "") == (in.Option == "") {
		return nil, invalid(Finding{Parameter: "query.rule", Code: "where-used.one", Message: "Ask for one rule or for one option: ?rule=CODE or ?option=CODE."})
	}
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	day := st.catalog.Calendar.DayOf(st.now(s.set.Clock))
	uses := st.catalog.WhereOption(in.Option, day)
	if in.Rule != "" {
		uses = st.catalog.WhereRule(in.Rule, day)
	}
	if len(uses) == 0 {
		return nil, notFound(fmt.Sprintf("No product has %s.", in.word()+" "+quoteShort(in.Rule+in.Option)))
	}
	out := &whereUsedOutput{whereUsedReply{Revision: st.catalog.Revision, Uses: make([]useShown, len(uses))}}
	for i, u := range uses {
		one := useShown{Product: u.Product, Attribute: u.Attribute, Option: u.Option, With: u.With}
		if u.Rule.Says != "" {
			one.Rule = &reasonRule{string(u.Rule.Kind), u.Rule.Code, u.Rule.Says}
		}
		out.Body.Uses[i] = one
	}
	return out, nil
}

func (in *whereUsedInput) word() string {
	if in.Rule != "" {
		return "a rule"
	}
	return "an option"
}
