package cutting

import "math/big"

// certificate checks the proof of every group and adds their bounds.
func (v *verifier) certificate() {
	groups := map[string]bool{}
	for _, piece := range v.p.Pieces {
		groups[piece.Group] = true
	}
	total := new(big.Int)
	search := false
	for i := range v.plan.Certificate.Proofs {
		proof := &v.plan.Certificate.Proofs[i]
		if !groups[proof.Group] {
			v.fault("a proof for group %q, which has no pieces or two proofs", proof.Group)
			return
		}
		delete(groups, proof.Group)
		c := newChecker(v.p, proof)
		bound, err := c.tree()
		if err != nil {
			v.fault("group %q: %w", proof.Group, err)
			return
		}
		total.Add(total, bound)
		search = search || len(proof.Nodes) > 1 || len(proof.Nodes[0].Leaf.Cuts) > 0
	}
	if len(groups) > 0 {
		v.fault("%d groups have no proof", len(groups))
	}
	if total.Cmp(big.NewInt(v.plan.Bound)) < 0 {
		v.fault("the certificate proves %s, the plan claims %d", total, v.plan.Bound)
	}
	if v.plan.Status == ByBound && search {
		v.fault("the status says one set of prices, the certificate is a search tree")
	}
}
