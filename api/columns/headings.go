package columns

import (
	"regexp"
	"strconv"
	"strings"

	"thole/api/cells"
	"thole/api/store"
)

// Meaning says what a column holds; "" is a column that is not used. Columns of a
// test carry the effort behind a colon, such as time:2000m or metres:1800s.
type Meaning string

// The meanings of columns of a squad.
const (
	Unused        Meaning = ""
	Name          Meaning = "name"
	NameTurned    Meaning = "name_turned" // the family name first
	GivenName     Meaning = "given_name"
	FamilyName    Meaning = "family_name"
	Sex           Meaning = "sex"
	Born          Meaning = "born"
	Side          Meaning = "side"
	Sculls        Meaning = "sculls"
	Coxes         Meaning = "coxes"
	Squads        Meaning = "squads"
	Height        Meaning = "height"
	ArmSpan       Meaning = "arm_span"
	SittingHeight Meaning = "sitting_height"
	Mass          Meaning = "mass"
	PortCost      Meaning = "port_cost"
	StarboardCost Meaning = "starboard_cost"
	TestDay       Meaning = "test_day"
	TestDistance  Meaning = "test_distance"
	TestTime      Meaning = "test_time"
	TestFixed     Meaning = "test_fixed"
	TestMass      Meaning = "test_mass"
	TestNote      Meaning = "test_note"
)

// words are headings as clubs write them, in English, German, French, Dutch,
// Italian, Spanish and Portuguese; common practice. They are compared without case,
// accents and punctuation, and without a unit in brackets.
var words = map[Meaning][]string{
	Name: {"name", "full name", "athlete", "athletes", "rower", "rowers", "athlete name", "rower name", "athlet", "athletin", "sportler", "ruderer", "ruderin",
		"vor und nachname", "vorname nachname", "vorname name", "prenom nom", "prenom et nom", "naam", "roeier", "atleta", "nombre y apellidos", "nome e cognome", "nome completo"},
	NameTurned: {"nachname vorname", "name vorname", "nom et prenom", "nom prenom", "cognome e nome", "cognome nome", "apellidos y nombre", "apellidos nombre", "surname first name", "surname name", "last name first name", "achternaam voornaam"},
	GivenName:  {"first name", "firstname", "given name", "forename", "first", "vorname", "prenom", "voornaam", "nombre", "nome", "given"},
	FamilyName: {"last name", "lastname", "surname", "family name", "second name", "last", "nachname", "familienname", "zuname", "nom", "nom de famille", "achternaam", "apellido", "apellidos", "cognome", "apelido", "sobrenome", "family"},
	Sex:        {"sex", "gender", "m f", "f m", "m w", "w m", "geschlecht", "sexe", "genre", "geslacht", "sesso", "sexo", "genero"},
	Born: {"born", "dob", "d o b", "birth", "birth date", "birthdate", "birthday", "date of birth", "year of birth", "birth year", "yob", "geburtsdatum", "geb", "geb datum", "geburtstag", "jahrgang", "geburtsjahr", "jg",
		"date de naissance", "naissance", "ne e le", "annee de naissance", "geboortedatum", "geboren", "geboortejaar", "data di nascita", "anno di nascita", "fecha de nacimiento", "ano de nacimiento", "nacimiento", "data de nascimento"},
	Side: {"side", "sides", "rows", "rowing side", "sweep side", "bow side stroke side", "stroke bow", "p s", "port starboard", "seite", "bordseite", "riemenseite", "bord", "backbord steuerbord", "bb stb", "cote", "bordee", "zijde", "boord", "kant",
		"lato", "banda", "lado", "sweep"},
	Sculls:        {"sculls", "scull", "sculler", "sculling", "skull", "skullt", "couple", "de couple", "scullen", "coppia", "remo corto"},
	Coxes:         {"cox", "coxes", "coxswain", "stm", "steuermann", "steuerfrau", "steuert", "barreur", "stuur", "stuurman", "timoniere", "timonel"},
	Squads:        {"squad", "squads", "group", "crew", "team", "category", "training group", "gruppe", "trainingsgruppe", "kader", "mannschaft", "altersklasse", "kategorie", "groupe", "equipe", "categorie", "ploeg", "groep", "squadra", "gruppo", "categoria", "equipo", "grupo"},
	Height:        {"height", "ht", "stature", "body height", "grosse", "koerpergrosse", "korpergrosse", "groesse", "koerpergroesse", "taille", "lengte", "lichaamslengte", "altezza", "statura", "altura", "talla", "estatura"},
	ArmSpan:       {"arm span", "armspan", "span", "wingspan", "wing span", "reach", "armspannweite", "spannweite", "armspanne", "envergure", "spanwijdte", "armspanwijdte", "apertura braccia", "apertura", "envergadura"},
	SittingHeight: {"sitting height", "seated height", "sit height", "sitzhohe", "sitzhoehe", "sitzgrosse", "taille assise", "hauteur assise", "zithoogte", "altezza seduto", "altezza da seduto", "talla sentado", "altura sentado"},
	Mass:          {"mass", "weight", "wt", "body mass", "body weight", "bw", "gewicht", "korpergewicht", "koerpergewicht", "kg", "poids", "lichaamsgewicht", "peso", "masse"},
	PortCost:      {"port cost", "port costs"},
	StarboardCost: {"starboard cost", "starboard costs"},
	TestDay:       {"test date", "test day", "date", "date of test", "tested", "tested on", "day", "datum", "testdatum", "date du test", "data", "fecha", "data test", "fecha test", "jour"},
	TestDistance:  {"test distance", "distance", "dist", "distanz", "strecke", "afstand", "distanza", "distancia", "test"},
	TestTime:      {"test time", "time", "result", "erg time", "ergo time", "zeit", "ergebnis", "temps", "resultat", "tijd", "tempo", "tiempo", "resultado", "risultato"},
	TestFixed:     {"test fixed"},
	TestMass:      {"test mass", "mass at test", "weight at test", "gewicht beim test"},
	TestNote:      {"note", "notes", "comment", "comments", "remark", "remarks", "bemerkung", "bemerkungen", "anmerkung", "remarque", "opmerking", "opmerkingen", "osservazioni", "observaciones"},
}

// own are the columns of this program's table.
var own = map[string]Meaning{
	"name": Name, "sex": Sex, "birth_date": Born, "birth_year": Born, "sculls": Sculls, "coxes": Coxes, "squads": Squads, "port_cost_s": PortCost, "starboard_cost_s": StarboardCost,
	"mass_kg": Mass, "height_cm": Height, "arm_span_cm": ArmSpan, "sitting_height_cm": SittingHeight, "test_date": TestDay, "test_fixed": TestFixed,
	"test_distance_m": TestDistance, "test_time": TestTime, "test_mass_kg": TestMass, "note": TestNote,
}

// byWord finds a meaning by a folded heading.
var byWord = func() map[string]Meaning {
	all := map[string]Meaning{}
	for m, list := range words {
		for _, w := range list {
			all[w] = m
		}
	}
	return all
}()

var (
	inBrackets = regexp.MustCompile(`[(\[{]([^)\]}]*)[)\]}]`)
	// effortWord is a distance or a duration in a heading: 2k, 2000 m, 6 km, 30 min, 30'.
	effortWord = regexp.MustCompile(`(?i)(?:^|[^\p{L}\p{N}.,])(\d{1,5}(?:[.,]\d+)?)\s*(km|k|metres|meters|meter|metre|mtr|m|min|minutes|minuten|mins|'|′|sec|s)?(?:$|[^\p{L}\p{N}])`)
)

// Folded is a heading without case, accents, punctuation and brackets, and the unit
// that stood in brackets or behind it.
func Folded(heading string) (text, unit string) {
	for _, m := range inBrackets.FindAllStringSubmatch(heading, -1) {
		if u := cells.Units[store.NameKey(m[1])]; u != "" {
			unit = u
			heading = strings.Replace(heading, m[0], " ", 1)
		}
	}
	list := strings.Fields(cells.Folded(heading))
	if n := len(list); n > 1 && unit == "" && cells.Units[list[n-1]] != "" {
		unit, list = cells.Units[list[n-1]], list[:n-1]
	}
	return strings.Join(list, " "), unit
}

// recognised reports what a heading of a squad means, as far as it can be told.
func recognised(heading string) (m Meaning, unit string) {
	if m, ok := own[strings.ToLower(strings.Join(strings.Fields(heading), "_"))]; ok {
		return m, map[Meaning]string{Mass: "kg", TestMass: "kg", Height: "cm", ArmSpan: "cm", SittingHeight: "cm"}[m]
	}
	text, unit := Folded(heading)
	if m, ok := byWord[text]; ok {
		return m, unit
	}
	if effort := EffortIn(heading); effort != "" {
		return effortMeaning(heading, effort), ""
	}
	return byWord[wordWithin(text, byWord, 4)], unit // "Weight today", "Athlete’s name"
}

// wordWithin is the longest of the known words that stand in a folded heading, of
// equally long ones the first; "" for none. Words of fewer letters than shortest tell
// nothing in a longer heading.
func wordWithin(text string, known map[string]Meaning, shortest int) (best string) {
	first := -1
	for w := range known {
		at := strings.Index(" "+text+" ", " "+w+" ")
		if at < 0 || len(w) < shortest || len(w) < len(best) {
			continue
		}
		if len(w) > len(best) || at < first {
			best, first = w, at
		}
	}
	return best
}

// EffortIn finds a test's distance or duration in a heading, such as 2000m or
// 1800s; "" for none.
func EffortIn(heading string) string {
	for _, m := range effortWord.FindAllStringSubmatch(heading, -1) {
		v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
		if err != nil {
			continue
		}
		switch strings.ToLower(m[2]) {
		case "k", "km":
			v *= 1000
		case "min", "minutes", "minuten", "mins", "'", "′":
			if v >= 1 && v <= 120 {
				return strconv.FormatFloat(60*v, 'f', -1, 64) + "s"
			}
			continue
		case "s", "sec":
			continue
		}
		if v >= 100 && v <= 42_195 {
			return strconv.FormatFloat(v, 'f', -1, 64) + "m"
		}
	}
	return ""
}

// dayWord stands behind a distance whose column holds days, as in "2k on", in the
// languages of the headings.
var dayWord = regexp.MustCompile(` (on|when|am|vom|le|op|il|el|em|del|du)$`)

// effortMeaning reports what of a test a heading with a distance means.
func effortMeaning(heading, effort string) Meaning {
	text, _ := Folded(heading)
	says := func(m Meaning) bool {
		for _, w := range words[m] {
			if len(w) > 1 && strings.Contains(" "+text+" ", " "+w+" ") {
				return true
			}
		}
		return false
	}
	switch {
	case strings.Contains(text, "split") || strings.Contains(text, "500m pace") || strings.Contains(text, "pace") || strings.Contains(text, "watt") || strings.HasSuffix(text, " w"):
		return Unused // follows from the time
	case says(TestDay) || dayWord.MatchString(text):
		return Meaning("day:" + effort)
	case says(Mass):
		return Meaning("mass:" + effort)
	case strings.HasSuffix(effort, "s"):
		return Meaning("metres:" + effort)
	}
	return Meaning("time:" + effort)
}

// Parts cuts a meaning of a test into what it is and the effort.
func (m Meaning) Parts() (what, effort string) {
	what, effort, _ = strings.Cut(string(m), ":")
	return what, effort
}

// IsDay reports whether cells of the meaning are days.
func (m Meaning) IsDay() bool {
	what, effort := m.Parts()
	return m == Born || m == TestDay || what == "day" && effort != ""
}

// effortWords says an effort as people do: 2000 m, 30 min.
func effortWords(effort string) string {
	v, err := strconv.ParseFloat(effort[:max(len(effort)-1, 0)], 64)
	if err != nil {
		return effort
	}
	if strings.HasSuffix(effort, "s") {
		return strconv.FormatFloat(v/60, 'f', -1, 64) + " min"
	}
	return strconv.FormatFloat(v, 'f', -1, 64) + " m"
}
