package columns

import (
	"slices"
	"thole/api/cells"
)

// Choice is a meaning to choose for a column, in words.
type Choice struct {
	Meaning Meaning
	Words   string
}

// efforts are the tests that can be chosen for a column.
var efforts = []string{"100m", "500m", "1000m", "2000m", "5000m", "6000m", "10000m", "60s", "240s", "1200s", "1800s", "3600s"}

// squadChoices lists what a column of a squad can hold, with the tests of the columns
// that are there.
func squadChoices(columns []Column) []Choice {
	list := []Choice{
		{Unused, "not used"}, {Name, "name"}, {NameTurned, "name, family name first"}, {GivenName, "given name"}, {FamilyName, "family name"}, {Sex, "sex"}, {Born, "born: day or year"},
		{Side, "side"}, {Sculls, "sculls: yes or no"}, {Coxes, "coxes: yes or no"}, {Squads, "squad"}, {Height, "height"}, {ArmSpan, "arm span"}, {SittingHeight, "sitting height"}, {Mass, "mass"},
		{TestDay, "day of the tests in the row"}, {TestDistance, "test: distance"}, {TestTime, "test: time"}, {TestMass, "test: mass"}, {TestNote, "test: note"},
		{PortCost, "port costs, s over 2000 m"}, {StarboardCost, "starboard costs, s over 2000 m"}, {TestFixed, "test: distance or time was set"},
	}
	all := slices.Clone(efforts)
	for i := range columns {
		if _, effort := columns[i].Meaning.Parts(); effort != "" && !slices.Contains(all, effort) {
			all = append(all, effort)
		}
	}
	for _, effort := range all {
		result := Choice{Meaning("time:" + effort), effortWords(effort) + ": time"}
		if effort[len(effort)-1] == 's' {
			result = Choice{Meaning("metres:" + effort), effortWords(effort) + ": metres"}
		}
		list = append(list, result, Choice{Meaning("day:" + effort), effortWords(effort) + ": day"}, Choice{Meaning("mass:" + effort), effortWords(effort) + ": mass"})
	}
	return list
}

// Units lists the units that a column can stand in; none where it has none.
func (u Use) Units() []string {
	what, _ := u.Meaning.Parts()
	switch {
	case u.Meaning == Height, u.Meaning == ArmSpan, u.Meaning == SittingHeight:
		return []string{"", "cm", "m", "in"}
	case what == "mass", u.Meaning == TestMass:
		return []string{"", "kg", "lb", "st"}
	case cells.LengthsIn[u.Meaning.Unit()] > 0:
		return []string{"cm", "mm", "m", "in"}
	case u.Meaning.Unit() == "kg":
		return []string{"kg", "lb"}
	}
	return nil
}

// known reports whether a meaning of a squad is one of those that can be chosen.
func (m Meaning) known() bool {
	what, effort := m.Parts()
	if effort != "" {
		return slices.Contains([]string{"time", "metres", "day", "mass"}, what) && EffortIn(" "+effortWords(effort)+" ") != ""
	}
	return slices.ContainsFunc(squadChoices(nil), func(c Choice) bool { return c.Meaning == m })
}
