package guide

// how is how one measure is taken. Key names the drawing and the anchor.
type how struct {
	Key, Title string
	Setting    string // name of the setting that it is, with its unit; "" for none
	Steps      []string
	Sure       string // how sure the reading is, and why
	Where      link   // where it is entered
}

// link is a page that the guide leads to.
type link struct{ Address, Name string }

var (
	inSeat    = link{"/seat", "Check a seat"}
	inBoats   = link{"/boats", "the boat’s seats"}
	inOars    = link{"/oars", "Oars"}
	inAthlete = link{"/athletes", "the athlete’s page"}
)

// howGroups are all measures. The ways to take them are common practice; the ± are
// those that the calculation assumes, where it assumes one.
var howGroups = []struct {
	key, title string
	list       []how
}{
	{"rig-measures", "Boat and oar", []how{
		{"span", "Span", "span_cm", []string{
			"Put the boat level on trestles, gates closed.",
			"Measure where the pins meet the rigger, not at their tops, which may lean.",
			"From the inner edge of one pin to the outer edge of the other is the same as from centre to centre.",
			"Check that both pins stand equally far from the middle of the boat.",
		}, "With a steel tape to 2 mm. A tape that sags reads too long.", inBoats},
		{"spread", "Spread", "spread_cm", []string{
			"Measure across the saxboards at the pin’s place, and halve it: that is the middle of the boat.",
			"Measure from the outside of the saxboard to the centre of the pin, square to the boat, and add the half.",
			"Do it once from each side where you can; the two must agree.",
		}, "To 3 mm: the middle of the boat is found, not read.", inBoats},
		{"inboard", "Inboard", "inboard_cm", []string{
			"Start at the very end of the handle, not at the end of the grip’s cover.",
			"Measure along the shaft to the face of the collar that bears on the gate.",
			"Measure both oars of a pair; they must agree to 2 mm.",
		}, "To 2 mm.", inBoats},
		{"oar-length", "Oar length", "", []string{
			"Lay the oar on the floor, blade flat.",
			"Measure along the shaft from the end of the handle to the end of the blade at its middle.",
			"Write it on the oar: lengths change when a handle is moved.",
		}, "To 5 mm.", inOars},
		{"stretcher-position", "Stretcher position", "heel_to_pin_cm", []string{
			"Lay a straight-edge or a string across both pins. In sweep, square to the keel through the pin.",
			"Hang a plumb line from it over the keel, or mark its place on both saxboards.",
			"Measure level along the boat, towards the stern, to the heel of the shoe: the back of the heel cup.",
			"Read the boat’s own mark or hole number at the same time. Then the boat knows how one follows from the other.",
		}, "To 5 mm. How far the foot slips in the shoe is not in it: the seated check tells.", inBoats},
		{"heel-depth", "Heel depth", "heel_depth_cm", []string{
			"Roll the seat to the front of its slide.",
			"Lay a straight-edge on the lowest point of the seat so that it reaches over the shoes, and level it.",
			"Measure straight down from it to the heel of the shoe.",
		}, "To 5 mm, with the boat level along its length.", inBoats},
		{"stretcher-angle", "Stretcher angle", "plate_angle_deg", []string{
			"Level the boat along its length, or note how far it is out.",
			"Lay an angle gauge, or a phone with a level, on the plate under the shoes.",
			"Take away what the boat was out.",
		}, "To 1°.", inBoats},
		{"gate-height", "Height, seat to gate", "", []string{
			"Roll the seat to the line of the pins. Level the boat across.",
			"Lay a straight-edge on the bottom of the gate, level, so that it reaches over the seat.",
			"Measure from its lower edge straight down to the lowest point of the seat.",
			"Sculling: measure both gates. The lower one is the height.",
		}, "To 3 mm on firm trestles. Where the boat rocks, measure twice.", inBoats},
		{"gate-difference", "Gate difference", "", []string{
			"Measure both gates as above, without moving the boat in between.",
			"Starboard less port. Negative when port is the higher one.",
		}, "To 3 mm. Washers under the gates tell it as well: count them.", inBoats},
		{"stern-pitch", "Stern pitch", "", []string{
			"Level the boat along its length: the level on the saxboards or the slide as the builder says.",
			"Hold a pitch gauge on the pin, in the direction of the boat.",
			"Turn the gauge round and read again; half the sum is right.",
		}, "To half a degree. Pins bend: hold a straight-edge along the whole length.", inBoats},
		{"lateral-pitch", "Lateral pitch", "", []string{
			"Level the boat across.",
			"Hold the gauge on the pin, square to the boat. Outwards counts as more.",
		}, "To half a degree.", inBoats},
		{"pitch", "Gate and blade pitch", "", []string{
			"Lay the oar in its gate, square to the boat, its shaft at the height of rowing.",
			"Let the flat of the oar bear fully on the face of the gate.",
			"Hold the pitch gauge on the blade near its tip: that is the total pitch with the oar square.",
			"Take the stern pitch away. What is left is built into gate and blade.",
		}, "To half a degree. A worn gate lets the oar turn by a degree or more: replace the insert first.", inBoats},
		{"seat-height", "Seat height over the water", "", []string{
			"On the water by the landing stage, the crew at rest, the boat level.",
			"Measure from the water to the saxboard next to a seat in the middle of the boat, on both sides; take the mean.",
			"On land, measure from the saxboard down to the lowest point of the seat, and take it away.",
		}, "To 1 cm. It depends on the crew’s mass: without a reading it is calculated from the hull.", link{"/boats", "Edit boat"}},
		{"hull-mass", "Hull mass", "", []string{
			"Dry hull, with riggers, shoes and slides, without oars.",
			"Rest it on two scales at once, near its ends, level; or lift one end after the other with the other on its trestle.",
			"Add both readings.",
		}, "To 0.5 kg. Your federation’s rule book has the limits and says what must be on the boat.", link{"/boats", "Edit boat"}},
	}},
	{"stroke-measures", "In the boat", []how{
		{"seated-check", "Seated check", "", []string{
			"On the water, held at the landing stage; the rower in the shoes, the tape along the saxboard.",
			"Legs down, hands at the body, blade squared: from the line of the pins towards the bow to the middle of the handle.",
			"Full reach as at the catch, shins upright: towards the stern, the same.",
			"Enter both. The stretcher follows from the finish; the catch tells whether the target is within reach.",
		}, "± 1° at the finish and ± 2° at full reach (our judgement): a rower at rest reaches a little further than in a stroke.", inSeat},
		{"draw-height", "Draw height", "", []string{
			"Rower in the boat, afloat and level, sitting at the finish as in a stroke.",
			"Blade just covered, hands at the body.",
			"Measure from the lowest point of the seat up to the middle of the handle.",
		}, "To 1 cm. It hardly depends on body height, so that it has to be measured.", inSeat},
		{"arc", "Catch and finish", "", []string{
			"With a sensor: set its zero with the oar square to the boat, then import the recording.",
			"From a video: four strips of tape, camera abeam, 8 to 30 m away.",
			"Without either: the seated check, which Thole turns into angles.",
		}, "A sensor to half a degree where its zero is right; a video to a few degrees, told with each reading.", link{"/video", "From a video"}},
		{"edge-height", "Blade’s edge over the water", "", []string{
			"Film from abeam at 60 frames a second or more.",
			"In the frame in which the hands turn, mark the lower edge of the blade and the water under it.",
			"Five strokes or more: the mean counts.",
		}, "To 2 cm, or as the page tells for your marks.", link{"/video", "From a video"}},
	}},
	{"body-measures", "The rower", []how{
		{"height", "Height", "", []string{
			"Barefoot, back to a wall, heels together, looking straight ahead.",
			"Lay a book on the head, flat against the wall, and mark its lower edge.",
		}, "To 5 mm. People are 1 cm taller in the morning.", inAthlete},
		{"arm-span", "Arm span", "", []string{
			"Face to the wall, arms straight out at shoulder height.",
			"Mark both middle fingers’ tips, and measure between the marks.",
		}, "To 1 cm.", inAthlete},
		{"sitting-height", "Sitting height", "", []string{
			"On a hard, flat chair or bench, sitting as tall as possible, back to a wall.",
			"From the seat to the lower edge of a book on the head.",
		}, "To 1 cm. A slouch of 2 cm makes the trunk too short by 2 cm.", inAthlete},
		{"segments", "Segments", "", []string{
			"Feel for the joints: the outer ankle bone, the gap at the outside of the knee, the bone at the side of the hip that turns with the leg, the edge of the shoulder.",
			"Lower leg: knee to ankle. Thigh: hip to knee. Trunk: hip to shoulder. Arm: shoulder to the middle of the grip, straight, holding an oar handle.",
			"Measure each three times and take the middle one.",
		}, "To 1 cm at best: joints lie under the skin. Only measure what you trust; the rest is estimated.", link{"/video/body", "Body from a picture"}},
	}},
}
