package seatrace

import (
	"fmt"
	"math"
	"sort"

	"thole/rigging"
)

// Prior is what is held of the athletes before they race, as normal
// distributions of their effects in seconds over the pieces' distance.
type Prior struct {
	// SD is the standard deviation for athletes without one of their own, s.
	SD float64
	// Means holds expected effects, s; an athlete without one takes the mean
	// of those given.
	Means map[string]float64
	// SDs holds standard deviations of athletes' own, s.
	SDs map[string]float64
}

// check returns what cannot be right in a prior for the given athletes.
func (p *Prior) check(ids []string) rigging.FieldErrors {
	var errs rigging.FieldErrors
	refuse := func(field, detail string) {
		errs = append(errs, &rigging.FieldError{Field: field, Problem: rigging.ProblemRange, Detail: detail})
	}
	for _, id := range sortedKeys(p.Means) {
		if m := p.Means[id]; math.IsNaN(m) || math.IsInf(m, 0) {
			refuse("prior.means."+id, "the expected effect of "+id+" is not a number")
		}
	}
	for _, id := range sortedKeys(p.SDs) {
		if !positive(p.SDs[id]) {
			refuse("prior.sds."+id, "the standard deviation of "+id+" must be above 0 s")
		}
	}
	for _, id := range ids {
		if _, own := p.SDs[id]; !own && !positive(p.SD) {
			refuse("prior.sd", fmt.Sprintf("the standard deviation must be above 0 s: %s has none of their own", id))
			break
		}
	}
	return errs
}

// sortedKeys returns the keys of m in order.
func sortedKeys(m map[string]float64) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// positive reports whether x is a finite number above 0.
func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

// terms returns mean and standard deviation of each athlete, s.
func (p *Prior) terms(ids []string) (mean, sd []float64) {
	usual := 0.0
	for _, id := range sortedKeys(p.Means) {
		usual += p.Means[id] / float64(len(p.Means))
	}
	mean, sd = make([]float64, len(ids)), make([]float64, len(ids))
	for i, id := range ids {
		mean[i], sd[i] = usual, p.SD
		if m, ok := p.Means[id]; ok {
			mean[i] = m
		}
		if s, ok := p.SDs[id]; ok {
			sd[i] = s
		}
	}
	return mean, sd
}
