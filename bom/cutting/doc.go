// Package cutting plans how to cut pieces from bars so that the bars cost least,
// and proves how little any plan could cost. It takes whole numbers in any one
// grain and knows nothing of what the pieces are for.
//
// Solve returns a Plan: the bars with their pieces in cutting order, what they
// cost, the least any plan may cost, a Status and a Certificate. Verify, which
// shares no code with Solve, re-adds the plan and re-checks the certificate: the
// prices of the pieces by one knapsack, and where those stop below the plan, a
// search tree by the decisions, cuts and prices of each leaf.
//
// Kerf k and trim t are exact: pieces w1..wn fit a bar L with cuts between them
// when w1+..+wn + (n-1)k <= L-t, which is (w1+k)+..+(wn+k) <= L-t+k. Pieces are
// reckoned as w+k and bars as L-t+k, or L-t where the saw cuts after every piece.
//
// The method, by where it is published:
//
//   - columns priced by a knapsack: Gilmore and Gomory, "A linear programming
//     approach to the cutting-stock problem", Operations Research 9 (1961) and 11
//     (1963);
//   - a bound from prices that are not yet the best: Farley, "A note on bounding a
//     class of linear programming problems, including cutting stock problems",
//     Operations Research 38 (1990);
//   - knapsacks, best-fit decreasing and bound L2: Martello and Toth, "Knapsack
//     Problems" (1990); dual feasible functions: Fekete and Schepers, "New classes
//     of fast lower bounds for bin packing problems", Mathematical Programming 91
//     (2001);
//   - bars filled one by one: Gupta and Ho, "A new heuristic algorithm for the
//     one-dimensional bin-packing problem", Production Planning & Control 10 (1999).
//   - widths that pieces can come to, as sets of bits: Pisinger, "Linear time
//     algorithms for knapsack problems with bounded weights", Journal of Algorithms
//     33 (1999), has such tables;
//   - branch and price: Vance, "Branch-and-price algorithms for the one-dimensional
//     cutting stock problem", Computational Optimization and Applications 9 (1998);
//     pairs together or apart: Ryan and Foster, "An integer programming approach to
//     scheduling" (1981); cuts of a few rows: Jepsen, Petersen, Spoorendonk and
//     Pisinger, "Subset-row inequalities applied to the vehicle-routing problem with
//     time windows", Operations Research 56 (2008), which are a case of Chvatal's
//     rounding.
//
// Bars of several kinds branch on the number of each kind first, the node of the
// least bound first: where the numbers are whole, packing just these bars gives a
// plan at the bound. Whether they can be packed is decided by the bars that hold
// few pieces: the least that these leave free is a small linear programme whose
// prices leave few patterns, and a tree over these (Node.Listed) either fills them,
// when a search that fills bars anew again and again fills the longer ones, or
// proves that the numbers will not do. A search that is cut short has for its bound
// the least of what is proved at its open nodes.
//
// SolveSheets does the same for rectangles cut from sheets by cuts from edge to
// edge, and VerifySheets checks it: columns are priced by the exact table of
// unconstrained guillotine cuttings at sums of sides (Gilmore and Gomory,
// "Multistage cutting stock problems of two and more dimensions", Operations
// Research 13 (1965); Beasley, "Algorithms for unconstrained two-dimensional
// guillotine cutting", Journal of the Operational Research Society 36 (1985)).
//
// The same problem and budget of work give the same plan, byte for byte, on every
// machine; the package reads no clock. A deadline is the caller's Options.Stop.
package cutting
