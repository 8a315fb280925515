// Package glossary defines the words of the trade that stand on pages, and makes
// links of them: every label of a form or a table that is a term leads to its
// definition in the guide.
package glossary

import "strings"

// Address is the page that shows all terms; a term's key is its anchor there.
const Address = "/guide/glossary"

// Group is a set of terms that belong together.
type Group struct {
	Key, Title string
	Terms      []Term
}

// Term is one word with its one meaning.
type Term struct {
	Key     string   // the anchor; lower case, words joined by hyphens
	Name    string   // as the trade says it
	Labels  []string // how pages write it besides Name, without a unit at the end
	Says    string   // what it is, in a sentence or two
	Formula string   // how it is calculated; empty for what is measured or named
	Measure string   // key of the measure in the guide that tells how to take it; "" for none
	Source  string   // key of the part of the page of sources; "" for none
}

// Link is the address of the definition.
func (t Term) Link() string { return Address + "#" + t.Key }

// Groups are all terms, in the order of the guide.
func Groups() []Group { return groups }

var groups = []Group{
	{"rig", "The rig", rigTerms}, {"stroke", "The stroke", strokeTerms}, {"blade", "The blade in the water", bladeTerms},
	{"body", "The rower", bodyTerms}, {"recording", "Recordings", recordingTerms}, {"power", "Power", powerTerms},
	{"selection", "Selection", selectionTerms}, {"work", "The work", workTerms},
}

// byLabel finds a term by its name or one of its labels, in lower case.
var byLabel = func() map[string]Term {
	all := map[string]Term{}
	for _, g := range groups {
		for _, t := range g.Terms {
			for _, label := range append([]string{t.Name}, t.Labels...) {
				label = strings.ToLower(label)
				if other, twice := all[label]; twice {
					panic("glossary: " + label + " is " + other.Key + " and " + t.Key)
				}
				all[label] = t
			}
		}
	}
	return all
}()
