package rigging

// Level is how well a crew rows, for the arc to expect of it. The zero value is
// an ordinary club crew.
type Level int

// The levels.
const (
	Club Level = iota
	Championship
	Novice
)

// String returns "club", "championship" or "novice".
func (l Level) String() string { return [...]string{"club", "championship", "novice"}[l] }

// ParseLevel reads "club", "championship", "novice" or "" (not said: club); ok
// is false for anything else.
func ParseLevel(name string) (level Level, ok bool) {
	if name == "" {
		return Club, true
	}
	for _, l := range [...]Level{Club, Championship, Novice} {
		if l.String() == name {
			return l, true
		}
	}
	return Club, false
}

// Group is whom an arc is expected of, apart from the one person's body.
type Group struct {
	Class Class
	Sex   Sex     // AnySex: midway between women and men
	Age   float64 // years; 0: an adult
	Light bool    // races as a lightweight
	Level Level
}

// ClassArc is the arc to expect of a group before anybody has measured one.
type ClassArc struct {
	Targets
	SD     Angle    // how much one rower's usual arc differs from it, at either end
	Source []string // where its parts come from, one a step
}

// classArcSD is how far one rower's catch lies from the group's; engineering
// judgement, wide on purpose: the arc is weak evidence.
const classArcSD = 4 * Degree

// arcRow holds catch and finish in degrees, both without sign.
type arcRow struct{ catch, finish float64 }

// championshipArcs holds what medal crews row: class means from memory and, for
// lightweight women in sweep and lightweights in an eight, the men's step from
// open to light (engineering judgement).
var championshipArcs = map[string]map[Sex][2]arcRow{ // open, light
	"scull": {Male: {{66, 44}, {64, 44}}, Female: {{62, 43}, {61, 43}}},
	"small": {Male: {{57, 34}, {55, 34}}, Female: {{55, 33}, {53, 33}}},
	"eight": {Male: {{56, 34}, {54, 34}}, Female: {{54, 33}, {52, 33}}},
}

// boatKind returns the class's key in championshipArcs.
func (c Class) boatKind() string {
	switch {
	case c.Scull:
		return "scull"
	case c.Rowers == 8:
		return "eight"
	}
	return "small"
}

// arcStep is how many degrees a group's arc is shorter than the championship
// one.
type arcStep struct {
	catch, finish float64
	source        string
}

// juniorStep returns the step of an age in years: under 19, 17, 15 and 13, a
// third of it at the finish; common practice. The ages are racing categories,
// and so the arc steps from one to the next.
func juniorStep(age float64, scull bool) arcStep {
	sweep := func(s, w float64) float64 {
		if scull {
			return s
		}
		return w
	}
	step := func(catch float64, category string) arcStep {
		return arcStep{catch, catch / 3, "juniors under " + category + ": common practice"}
	}
	switch {
	case age < 13:
		return step(sweep(10, 8), "13")
	case age < 15:
		return step(sweep(7, 6), "15")
	case age < 17:
		return step(4, "17")
	}
	return step(2, "19")
}

// ageStep returns the step of an age in years, zero for an adult or unknown.
func (g Group) ageStep() arcStep {
	switch {
	case g.Age > 0 && g.Age < 19:
		return juniorStep(g.Age, g.Class.Scull)
	case g.Age >= 70:
		return arcStep{9, 0, "masters from 70: common practice"}
	case g.Age >= 60:
		return arcStep{6, 0, "masters from 60: common practice"}
	case g.Age >= 50:
		return arcStep{3, 0, "masters from 50: common practice"}
	}
	return arcStep{}
}

// levelStep returns the step of the level.
func (g Group) levelStep() arcStep {
	switch g.Level {
	case Club:
		return arcStep{3, 1, "club crews: common practice"}
	case Novice:
		return arcStep{6, 2, "novices: common practice"}
	}
	return arcStep{}
}

// Arc returns the arc to expect of the group. A coach's own club arcs may stand
// in for it.
func (g Group) Arc() ClassArc {
	row := g.championship()
	arc := ClassArc{SD: classArcSD, Source: []string{"championship arcs of the class: from memory"}}
	for _, step := range [...]arcStep{g.ageStep(), g.levelStep()} {
		row.catch -= step.catch
		row.finish -= step.finish
		if step.source != "" {
			arc.Source = append(arc.Source, step.source)
		}
	}
	arc.Catch, arc.Finish = Angle(-row.catch)*Degree, Angle(row.finish)*Degree
	return arc
}

// championship returns the group's arc at a championship, age aside.
func (g Group) championship() arcRow {
	rows := championshipArcs[g.Class.boatKind()]
	light := 0
	if g.Light {
		light = 1
	}
	if g.Sex != AnySex {
		return rows[g.Sex][light]
	}
	m, f := rows[Male][light], rows[Female][light]
	return arcRow{(m.catch + f.catch) / 2, (m.finish + f.finish) / 2}
}
