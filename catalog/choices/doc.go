// Package choices answers what may still be chosen. It knows fields, values and
// rules, and has never heard of what is made.
//
// A Base names fields of finite values and numbers on grids, and rules of rows
// of sets. Compile makes it ready once; a Compiled is immutable and shared. One
// field may be the hub, through which most rules go: for each of its values the
// rules are taken to what they still say, values that no rule tells apart are
// joined to classes, and everything that can be completed goes into one
// decision diagram, whose parts stand side by side where the rules no longer
// bind them to each other. Questions go up and down that diagram once. Where a
// diagram would pass its bound there is none, and an exact search answers, with
// what it found before kept at hand.
//
// Each goroutine asks through an Asker:
//
//   - Remaining: which values of every field can still be completed;
//   - MayChange: what each pick could be changed to, the others kept;
//   - WhyNot: the picks and the rules that stand against a value, none of them
//     needlessly;
//   - Nearest: the complete choice that changes the least;
//   - Cheapest: the completion of the least sum of prices.
//
// A Compiled itself tells Violations of picks, Count, WhereUsed, Lint, and what
// changed Since an earlier revision.
//
// Bounds are counts of work, not times, so the same base and the same question
// always get the same answer. An answer that a bound kept from being complete
// says so (ErrBound, Order.Proven, Conflict.Whole): it is never wrong otherwise.
package choices
