package harmony

// Contribution is how many points of a moment's total each part brings. They
// add up to the total; where the total is cut off at 100 they are scaled down.
func (a *Analysis) Contribution(t Tension) Tension {
	c := Tension{
		Total:      t.Total,
		Dissonance: shareDissonance * a.Weights.Dissonance * t.Dissonance,
		Distance:   shareDistance * a.Weights.Distance * t.Distance,
		Pull:       sharePull * a.Weights.Pull * t.Pull,
	}
	if sum := c.Dissonance + c.Distance + c.Pull; sum > 0 {
		f := t.Total / sum
		c.Dissonance, c.Distance, c.Pull = f*c.Dissonance, f*c.Distance, f*c.Pull
	}
	return c
}
