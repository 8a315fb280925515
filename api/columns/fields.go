package columns

import (
	"slices"
	"strings"

	"thole/api/cells"
	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
)

// Kind is a kind of table that comes in, as its mappings are kept.
type Kind string

// The kinds of tables.
const (
	Squad Kind = "squad"
	Boats Kind = "boats"
	Oars  Kind = "oars"
)

// The meanings of columns of boats and of oars; a number's name ends in its unit.
const (
	BoatName  Meaning = "boat"
	BoatClass Meaning = "boat_class"
	SeatAt    Meaning = "seat"
	BothSides Meaning = "can_change_sides"
	Blade     Meaning = "blade"
	Pins      Meaning = "pins_cm" // the span of a sculling boat, the spread of a sweep boat
	Mark      Meaning = "stretcher_mark"
	BoatOars  Meaning = "oars"
	BladeKind Meaning = "blade_kind"
	Note      Meaning = "note"
	OarName   Meaning = "name"
	OarKind   Meaning = "kind"
	OarCount  Meaning = "count"
)

// Field is what a column of boats or of oars can hold.
type Field struct {
	Meaning Meaning
	Label   string // to choose from
	words   string // headings as clubs write them, with commas between
}

// boatFields are the columns of boats in the order of the table that leaves. The
// words are English, German, French, Dutch, Italian, Spanish and Portuguese; common
// practice.
var boatFields = slices.Concat([]Field{
	{BoatName, "boat", "name,boat name,shell,hull,hull name,boot,bootsname,bootname,bateau,nom,nom du bateau,coque,naam,naam boot,nome,barca,imbarcazione,bote,nombre,embarcacion,barco"},
	{BoatClass, "class", "boat class,type,boat type,bootsklasse,bootstyp,klasse,bootsgattung,gattung,type de bateau,categorie,classe,tipo,tipo di barca,bootsoort,boottype,soort,categoria,clase,tipo de bote"},
	{SeatAt, "seat", "seat number,seat no,no,nr,number,place,position,pos,platz,sitz,sitzplatz,rollsitz,siege,poste,plaats,zitplaats,posto,carrello,asiento,puesto,banco,lugar"},
	{Side, "side", "sides,rigger side,rigged,rigging side,p s,port starboard,bow side stroke side,seite,bordseite,bord,backbord steuerbord,bb stb,cote,bordee,zijde,boord,lato,banda,lado"},
	{BothSides, "fits both sides: yes or no", "can change sides,reversible,umsteckbar,beidseitig,reversible rigger"},
	{Blade, "blade", "blades,blade type,blade shape,blatt,blattform,pelle,palette,type de pelle,blad,bladtype,pala,tipo pala"},
}, rigFields(), []Field{
	{"hull_mass_kg", "hull mass", "boat weight,hull weight,boat mass,weight,mass,bootsgewicht,gewicht,poids,poids coque,poids du bateau,bootgewicht,peso,peso barca"},
	{"built_for_kg", "built for rowers of", "built for,crew weight,weight class,rower mass,rower weight,average weight,avg weight,gewichtsklasse,mannschaftsgewicht,ruderergewicht,poids equipage,poids rameurs,ploeggewicht,peso equipaggio,peso tripulacion"},
	{"waterline_length_m", "waterline length", "wasserlinienlange,longueur flottaison,waterlijn,lunghezza galleggiamento"},
	{"waterline_beam_m", "waterline beam", "waterline width,wasserlinienbreite,largeur flottaison"},
	{"seat_over_water_cm", "seat height over the water", "seat over the water,seat over water,seat height over water,sitz uber wasser"},
	{Mark, "stretcher read at: heel, toe or hole", "stretcher read at,stretcher mark"},
	{"stretcher_offset_cm", "stretcher mark reads, on the line of the pins", "stretcher mark reads"},
	{"stretcher_toe_along_cm", "heel to toe mark", "stretcher heel to toe mark"},
	{"stretcher_hole_pitch_cm", "hole to hole", "stretcher hole to hole"},
	{BoatOars, "oars: name of the set", "oars,oar set,set of oars,ruder,riemen,skulls,avirons,rames,remi,remos"},
	{"washer_mm", "washer, thickness", "washer,washers,spacer,scheibe,unterlegscheibe,rondelle,ring"},
	{"clam_mm", "clam, thickness", "clam,clams,clip,klemme"},
	{"insert_deg", "pitch of one insert number", "insert"},
	{Note, "note", "notes,comment,comments,remark,remarks,bemerkung,bemerkungen,anmerkung,remarque,opmerking,opmerkingen,osservazioni,observaciones,nota"},
})

// rigFields are the settings of a seat.
func rigFields() []Field {
	list := []Field{{Pins, "span or spread, by the class", "span spread,span or spread,pins,dollenabstand,auslage,riggerabstand,entraxe,ecartement,ecart,dolafstand,riggerafstand,interscalmo,apertura,entre toletes,separacion,spanwijdte"}}
	for _, name := range store.Settings() {
		list = append(list, Field{Meaning(name), strings.ToLower(wire.SettingLabel(name)), rigWords[name]})
	}
	return list
}

// rigWords are headings of the settings of a seat.
var rigWords = map[string]string{
	"span_cm":            "pin to pin,pins to pins,span pin to pin",
	"spread_cm":          "thwartship,pin to centre,pin to centreline,mitte bis dolle",
	"inboard_cm":         "inboards,inside,collar,button,innenhebel,innenhebellange,levier interieur,levier,interieur,binnenhevel,binnenboord,leva interna,interno,palanca interior,interior,alavanca interna",
	"oar_length_cm":      "length,length of oar,oar,scull length,sweep length,ruderlange,riemenlange,skulllange,lange,longueur,longueur aviron,longueur rame,lengte,riemlengte,lunghezza,lunghezza remo,longitud,longitud remo,comprimento",
	"heel_to_pin_cm":     "stretcher,footstretcher,foot stretcher,foot stretcher position,heel to pin,heel to pins,pin to heel,pins to heels,heels,stemmbrett,stemmbrettabstand,fersenabstand,planche de pieds,planche,cale pieds,barre de pieds,voetenbord,voetenbordafstand,pedaliera,puntapiedi,distanza pedaliera,reposapies,pedalina",
	"heel_depth_cm":      "depth,heel height,seat to heel,heel to seat,fersentiefe,fersenhohe,profondeur talons,hauteur talons,profondeur,hieldiepte,diepte,profondita talloni,profundidad talones",
	"plate_angle_deg":    "plate angle,footplate angle,foot angle,stretcher rake,rake,stemmbrettwinkel,stemmbrettneigung,fusswinkel,angle planche,inclinaison planche,voetenbord hoek,voetenbordhoek,inclinazione pedaliera,angulo reposapies",
	"gate_height_cm":     "height,gate height,swivel height,oarlock height,rigger height,seat to gate,work height,dollenhohe,hohe,hauteur,hauteur dame,hauteur dames,hauteur dame de nage,dolhoogte,hoogte,altezza scalmi,altezza,altura toletes,altura",
	"gate_difference_cm": "difference,height difference,gates difference,dollendifferenz,hohenunterschied,difference de hauteur,hoogteverschil,differenza altezza,diferencia altura",
	"blade_pitch_deg":    "blade pitch,gate pitch,pitch insert,einsatz,inserto",
	"stern_pitch_deg":    "pitch,stern pitch of pin,pin pitch,anlage,anlagewinkel,dollenanlage,inclinaison,pas,pitch dol,inclinazione,inclinacion",
	"outward_pitch_deg":  "outward pitch,outward lean,lateral,lateral lean,aussenanlage,aussenneigung,inclinaison laterale,pitch buiten,inclinazione laterale",
}

// oarFields are the columns of sets of oars.
var oarFields = []Field{
	{OarName, "set", "name,set of oars,oar set,satz,ruder,riemen,skulls,riemensatz,jeu,jeu d avirons,avirons,nom,naam,riemen set,nome,set remi,remi,nombre,juego,remos"},
	{OarKind, "kind: sculls or sweep", "type,scull or sweep,sculls sweep,art,genre,soort,tipo"},
	{OarCount, "how many oars", "oars,count,number,oars count,quantity,qty,anzahl,stuck,nombre d avirons,quantite,aantal,quantita,numero,cantidad"},
	{Blade, "blade", "blades,blade type,blade name,blatt,pelle,palette,blad,pala"},
	{BladeKind, "kind of blade: hatchet, Macon, large", "blade shape,blattform,forme de pelle"},
	{"length_cm", "length", "length as set,oar length,lange,ruderlange,longueur,lengte,lunghezza,longitud,comprimento"},
	{"length_min_cm", "length from", "length min,shortest,lange von"},
	{"length_max_cm", "length to", "length max,longest,lange bis"},
	{"length_step_cm", "length in steps of", "length step"},
	{"inboard_cm", "inboard", "inboard as set,collar,button,innenhebel,levier interieur,levier,binnenhevel,leva interna,palanca interior"},
	{"inboard_min_cm", "inboard from", "inboard min,innenhebel von"},
	{"inboard_max_cm", "inboard to", "inboard max,innenhebel bis"},
	{"inboard_step_cm", "inboard in steps of", "inboard step"},
	{Note, "note", "notes,comment,comments,remark,remarks,bemerkung,bemerkungen,anmerkung,remarque,opmerking,osservazioni,observaciones,nota"},
}

// Fields are the columns of boats or of oars.
func (k Kind) Fields() []Field {
	if k == Oars {
		return oarFields
	}
	return boatFields
}

// meaningsByWord finds the meanings of boats and oars by folded headings.
var meaningsByWord = func() map[Kind]map[string]Meaning {
	all := map[Kind]map[string]Meaning{}
	for _, k := range []Kind{Boats, Oars} {
		known := map[string]Meaning{}
		for _, f := range k.Fields() {
			for _, w := range append(strings.Split(f.words, ","), f.Label) {
				w, _ = Folded(w)
				if _, taken := known[w]; !taken && w != "" {
					known[w] = f.Meaning
				}
			}
			own, _ := Folded(strings.ReplaceAll(string(f.Meaning), "_", " "))
			known[own] = f.Meaning
		}
		all[k] = known
	}
	return all
}()

// notColumns are headings of the table that leaves which say nothing to take in.
var notColumns = []string{"not measured", "boats"}

// recognise reports what a heading means, as far as it can be told.
func (k Kind) recognise(heading string) (m Meaning, unit string) {
	if k == Squad {
		return recognised(heading)
	}
	text, unit := Folded(heading)
	known := meaningsByWord[k]
	if m, ok := known[text]; ok || slices.Contains(notColumns, text) {
		return m, unit
	}
	return known[wordWithin(text, known, 5)], unit
}

// Unit is the unit that a meaning's numbers are kept in, "" for what is no number.
func (m Meaning) Unit() string {
	for _, unit := range []string{"cm", "mm", "m", "kg", "deg"} {
		if strings.HasSuffix(string(m), "_"+unit) {
			return unit
		}
	}
	return ""
}

// OfSeat reports whether the meaning belongs to a seat.
func (m Meaning) OfSeat() bool {
	return m == Side || m == BothSides || m == Blade || m == Pins || slices.Contains(store.Settings(), string(m))
}

// limitsOf are the ends between which a number of boats or oars is plausible, in its
// own unit; ok is false for one without.
func (k Kind) limitsOf(m Meaning) (least, most float64, ok bool) {
	if m == Pins {
		least, _, _ = k.limitsOf("spread_cm")
		_, most, _ = k.limitsOf("span_cm")
		return least, most, true
	}
	requests, at := []any{fleet.BoatFields{}, seat.Seat{}}, wire.At(string(m))
	if k == Oars {
		requests = []any{fleet.OarFields{}}
	}
	if of, ok := strings.CutPrefix(string(m), "stretcher_"); ok {
		at = wire.At("stretcher", of)
	}
	for _, request := range requests {
		if member, found := wire.MemberAt(request, at); found {
			if l := wire.LimitsOf(member); l.Least != nil && l.Most != nil {
				return *l.Least, *l.Most, true
			}
		}
	}
	return 0, 0, false
}

// Choices lists what a column of a kind can hold, with what the columns of the file
// hold already.
func (k Kind) Choices(columns []Column) []Choice {
	if k == Squad {
		return squadChoices(columns)
	}
	list := []Choice{{Unused, "not used"}}
	for _, f := range k.Fields() {
		list = append(list, Choice{f.Meaning, f.Label})
	}
	return list
}

// Knows reports whether a meaning is one of those that can be chosen.
func (k Kind) Knows(m Meaning) bool {
	if k == Squad {
		return m.known()
	}
	return slices.ContainsFunc(k.Choices(nil), func(c Choice) bool { return c.Meaning == m })
}

// SettleUnits gives lengths whose heading says no unit the one in which most of
// their cells are plausible. What fits several takes that of the other columns.
func (r *Reading) SettleUnits() {
	votes := map[string]int{}
	var open []int
	for i := range r.Columns {
		c := &r.Columns[i]
		if cells.LengthsIn[c.Meaning.Unit()] == 0 || c.Unit != "" {
			continue
		}
		fits := r.fittingUnits(i)
		if len(fits) == 1 {
			c.Unit = fits[0]
			votes[c.Unit]++
		} else {
			open = append(open, i)
		}
	}
	for _, i := range open {
		c, fits := &r.Columns[i], r.fittingUnits(i)
		c.Unit = c.Meaning.Unit()
		for _, unit := range fits {
			if votes[unit] > votes[c.Unit] {
				c.Unit = unit
			}
		}
	}
}

// fittingUnits are the units in which most of the cells of a column are plausible.
func (r *Reading) fittingUnits(column int) (best []string) {
	m := r.Columns[column].Meaning
	least, most, ok := r.kind.limitsOf(m)
	if !ok {
		return nil
	}
	top := 1
	for _, unit := range []string{"cm", "mm", "m"} {
		count := 0
		for _, row := range r.Below() {
			if v, complaint := cells.Measure(r.Cell(&row, column), m.Unit(), unit); complaint == "" && v >= least && v <= most {
				count++
			}
		}
		switch {
		case count > top:
			best, top = []string{unit}, count
		case count == top:
			best = append(best, unit)
		}
	}
	return best
}
