// Package sources says where the figures and formulas of all areas come from, and how
// far to trust them, as readers are shown it.
package sources

// Source says where the figures of one part come from.
type Source struct {
	Key   string   `json:"key"`
	Title string   `json:"title"`
	How   string   `json:"how" description:"What is computed and how, in plain words."`
	Cited []string `json:"cited" description:"Author, title, year, place."`
	Limit string   `json:"limit" description:"How far to trust it."`
}

// All lists where figures and formulas come from, by part.
func All() []Source { return all }

var all = []Source{
	{
		Key: "arc", Title: "The arc",
		How: "The catch is the largest angle at which the straight arm still reaches the handle, with feet, shins, seat, trunk and shoulder in place; the finish is where the handle stands off the torso. Both are solved from the lengths, not read from tables.",
		Cited: []string{
			"V. Kleshnev, Rowing Biomechanics Newsletter 121, April 2011: four rigs rowed by lightweight single scullers (arc, handle arc, lever ratio).",
			"FISA, Rigging Survey, World Championships 2006: how span, spread, inboard, overlap, heights and stretcher are measured.",
		},
		Limit: "With the posture of the defaults and a body estimated from the height, the first rig of the newsletter comes out within a few degrees. Calibrate with a measured arc for more.",
	},
	{
		Key: "posture", Title: "How the rower sits",
		How: "Three things are kept apart. The reach is how far the body goes with every limit held: lean, knees, thighs meeting the trunk, ankles with the heel's rise bounded. The expected arc is what such a rower will probably row: the usual posture, drawn a little towards the arc of the group (class, sex, age, weight, level). A measured arc, or a reading with the rower in the seat, takes the group's place. A posture whose lean and shin you state is taken as it is. ± holds body, tape and posture together.",
		Cited: []string{
			"V. Kleshnev, row2k.com, March 2024: shin angle of 60 medallists, 91.6 ± 6.7°.",
			"NASA Reference Publication 1024, vol. II, 1978: one-arm reach against two.",
			"Class means of championships: from memory. Steps for age, club crews and novices: common practice.",
		},
		Limit: "Lean, layback, rotation, the limits and their spread are engineering judgement. None is a medical threshold. Most of the arcs that the expectation was held against are class means, that is, its own evidence: measure one to know this rower.",
	},
	{
		Key: "reach", Title: "Does it suit your reach?",
		How: "A chance: how far the reach goes beyond the target, against the spread of body, tape and limits. 80 % and more is likely, 20 % and less unlikely, the rest too close to tell. A stretcher that is likely out of place is said first: catch and finish then both move with it, and only the whole arc tells of the reach.",
		Cited: []string{
			"Common practice: with legs down and hands at the body the handle shows whether the stretcher is right. Its place follows from the lever and the target's sine.",
		},
		Limit: "The bounds of 80 and 20 % and the ± of a reading, 1° at the finish and 2° at full reach, are engineering judgement.",
	},
	{
		Key: "body", Title: "The body",
		How: "What you did not measure is estimated from adults who share what you did measure, as a normal distribution; a measured limb always wins. The trunk follows sitting height one for one.",
		Cited: []string{
			"C. Gordon et al., 2012 Anthropometric Survey of U.S. Army Personnel: Methods and Summary Statistics, NATICK/TR-15/007, 2014 (4,082 men, 1,986 women; public domain).",
			"R. Drillis and R. Contini 1966, in D. Winter, Biomechanics and Motor Control of Human Movement: trunk as a share of stature.",
		},
		Limit: "The survey measured soldiers of 17 and over. Growing bodies differ: measure juniors.",
	},
	{
		Key: "gearing", Title: "Gearing",
		How: "Four numbers go by that name, and each is shown by its own. Through the stroke the lever ratio is divided by the cosine of the oar angle: about twice the square value at 60°, three times at 70°, six times at 80°.",
		Cited: []string{
			"V. Kleshnev, Rowing Biomechanics Newsletter 72, 2007.",
			"FISA, Rigging Survey, World Championships 2006 (calculated ratio with 2 cm off).",
			"V. Nolte, Rowing News, May 2023; S. Wilson, Rigging – Simplified, Rowing Australia; Mulhouse and Évry club handouts: ranges seen.",
		},
		Limit: "Ranges are what boats are mostly set to, not a prescription.",
	},
	{
		Key: "heights", Title: "Heights",
		How: "The shaft is a straight line from blade over gate to hand. The blade counts as covered at −3° and is carried back at +3°. A blade's middle hangs below the shaft by its kind. The window holds the gate heights at which the blade is covered with the hands at draw height, the hands clear the thighs, and the arms slope 0 to 20° down early in the drive.",
		Cited: []string{
			"V. Kleshnev, Rowing Biomechanics Newsletters, October 2009 and August 2015; row2k.com, November 2021: vertical angles of the blade.",
			"V. Nolte, A primer on sweep rigging: arms about 10° below the horizontal early in the drive.",
			"A. Baudouin and D. Hawkins, British Journal of Sports Medicine 36 (2002) 396: sweep blade 25 × 55 cm.",
			"L. Lazauskas, University of Adelaide report L9701, 1998: waterline figures of the hulls, for how deep the boat lies.",
		},
		Limit: "Draw height hardly depends on body height: measure it. Seat over water of 7.5 cm and the front of the ribs are engineering judgement.",
	},
	{
		Key: "pitch", Title: "Pitch",
		How: "Pitch built into gate or oar, plus the stern pitch of the pin times the cosine, less its lateral pitch times the sine of the oar angle.",
		Cited: []string{
			"C. Douglas, boat builder, 1998: a lateral pitch changes the pitch at catch and finish by about two thirds of itself.",
		},
		Limit: "For small leans; pins and gates wear, so measure at the blade as well.",
	},
	{
		Key: "entry", Title: "The catch: blade entry",
		How: "Water passes the blade's face at boat speed times the cosine of the oar angle. The blade meets it without splash when the oar turns at that speed over its outer lever; what it sweeps until it is covered is missed.",
		Cited: []string{
			"V. Kleshnev, Rowing Biomechanics Newsletters: slip of 6° in sculling and 9° in sweep to the −3° threshold.",
		},
		Limit: "Boat speed and how the blade comes down are typed in or assumed; going deeper than covered is common practice to count against.",
	},
	{
		Key: "seat-racing", Title: "Seat racing",
		How: "The logarithm of a boat’s time is the piece’s own, which takes up wind and stream, plus the mean of its athletes’ effects, plus scatter: least squares. Intervals average over the scatter that the residuals and the documented one leave open, and with a prior over how far its spread holds. Athletes whom the crews do not compare are named and not ranked. Schedules are searched for the least mean variance of the comparisons asked for. Seconds turn into watts by the cube of the speed.",
		Cited: []string{
			"T. B. Smith and W. G. Hopkins, Medicine & Science in Sports & Exercise 43 (2011) 2155: 0.9 % scatter of one crew’s race times, 3 % from venue and weather.",
			"H. Hotelling, Annals of Mathematical Statistics 15 (1944) 297; A. M. Mood, ibid. 17 (1946) 432: weighing designs, which the plans are measured against.",
			"D. Cabrera, A. Ruina and V. Kleshnev, Human Movement Science 25 (2006) 192: drag, for the time expected of a power.",
		},
		Limit: "The scatter was found between races of elite crews; side by side it may be less, in novices more. 12 % for an athlete without a test and 5 % for a squad’s level are engineering judgement. A swap also changes balance and rhythm: what is measured is the athlete in these boats, on this day.",
	},
	{
		Key: "fit", Title: "Setting up for a crew",
		How: "Oars and pins stay as the coach has them. The stretcher goes where the finish is right, when it is more than a degree off; a gate moves only when it stands clearly outside its window. A full re-rig also sets heels and plate where ankles, knees or hips ask for it, and a pitch that was measured and is out. Nothing that nobody measured is told to be moved, and nothing that brings a caution the rig does not have. A catch longer than the target is met. All else is an offer with its price: one shorter catch, deeper heels, pins and inboard together, other oars.",
		Cited: []string{
			"Common practice: the order of the work, and pins, collars and gates to 2 mm, oars and stretchers to 5 mm.",
			"V. Nolte, A primer on sweep rigging: gates for a start, for light and for heavy crews.",
		},
		Limit: "A degree of tolerance and the steps are engineering judgement. The ± of body and posture leaves a stretcher good to about 4 cm before anyone has sat down: check it with the rower in the seat.",
	},
	{
		Key: "slip", Title: "Slip, and what a stroke measures",
		How: "A stroke runs from one smallest oar angle to the next. Slip at the catch is the arc until the blade works, slip at the release what is left when it ceases to; both depend on the threshold, which is shown with them. Work is the moment about the pin over the angle of the drive; power is that over the whole cycle. Without levers there is neither.",
		Cited: []string{
			"S. Millar et al., Sports 3 (2015) 335: slip at 30 % of the peak, among other thresholds.",
			"V. Kleshnev, Rowing Biomechanics Newsletter, August 2015: the blade covered at −3°.",
		},
		Limit: "Only as good as the zero of the sensor and the unit of the file. A force along the boat has to be divided by the cosine of the oar angle first.",
	},
	{
		Key: "stroke-model", Title: "What a stroke could gain",
		How: "One cycle of hull, bodies and blades is solved so that it repeats itself. Each change of the stroke is priced twice, at equal force and at equal power, over 2000 m, and again with every uncertain figure at both its ends. What a centimetre of the rig brings in load and time is found in the same way.",
		Cited: []string{
			"D. Cabrera, A. Ruina and V. Kleshnev, Human Movement Science 25 (2006) 192: drag of the boats.",
			"N. Caplan and T. N. Gardner, Journal of Sports Sciences 25 (2007) 643: force of a blade square to the flow (as reported).",
			"S. F. Hoerner, Fluid-Dynamic Drag, 1965: drag of a shaft in the water.",
			"D. A. Winter, Biomechanics and Motor Control of Human Movement: masses of the body’s segments.",
			"Areas of blades: from memory. Place of the peak and speed of the hands: engineering judgement.",
		},
		Limit: "Differences hold far better than levels; it predicts no race. Unsteady lift, the bend of the oar, the lean of the boat and skill under fatigue are not in it.",
	},
	{
		Key: "progress", Title: "What changed between outings",
		How: "A change is held against the noise of both recordings: the strokes, the day and the sensors. With few days the noise of a day is taken as half of the spread from stroke to stroke; from four recordings on it is the rower’s own scatter about the trend. Real is what would be chance once in twenty times at most.",
		Cited: []string{
			"Student, Biometrika 6 (1908) 1: the error of a mean of few.",
		},
		Limit: "What sensors are off by from day to day (angle zero 0.5°, height of the blade 1.5 cm, force 2 %) is engineering judgement. What else changed that day, such as wind or crew, is in the difference too.",
	},
	{
		Key: "video", Title: "Measured from a video",
		How: "Place, direction and zoom of the camera are fitted together with the angle of the oar to all marks, by least squares. The ± is one standard deviation and holds what the marks leave open. Moments are no better than a frame.",
		Cited: []string{
			"Common practice: the pinhole camera, without distortion of the lens.",
		},
		Limit: "Distortion of the lens is left out: keep marks away from the edge of the picture. The error of a mark is read from how well the marks fit.",
	},
	{
		Key: "curve-match", Title: "How well two curves match",
		How: "The difference of shape is half the area between two curves of equal area, 0 to 1. Correlation, the shift at which two curves fit best, and the distance by dynamic time warping are shown with it, so that timing and shape are told apart. The squad is ordered by average linkage with the least difference between neighbours.",
		Cited: []string{
			"A. Baudouin and D. Hawkins, Journal of Biomechanics 37 (2004) 969: how fast pairs went followed neither from their power nor from how well they kept together.",
			"J. Warmenhoven et al., Sports Medicine 48 (2018) 2703: studies agree on no best curve.",
			"R. Smith and C. Draper, International Society of Biomechanics in Sports: the two of a pair pull differently to go straight.",
			"H. Sakoe and S. Chiba, IEEE Transactions on Acoustics, Speech, and Signal Processing 26 (1978) 43: warping.",
			"Z. Bar-Joseph, D. Gifford and T. Jaakkola, Bioinformatics 17 suppl. 1 (2001) S22: the order.",
		},
		Limit: "A coach’s hypothesis, not a proven gain in speed.",
	},
	{
		Key: "ergometer", Title: "The ergometer",
		How: "Power is 2.80 over the cube of the pace in seconds a metre. Every test of an athlete is carried over to 2000 m, with less weight the older it is and the further its duration lies off, and gives a race power with an interval. Athletes whose tests are too close to tell are in one band.",
		Cited: []string{
			"The published relation of pace and power of the common air-braked rowing ergometer: 2:00 for 500 m is 202.5 W.",
			"P. Mikulić et al., Journal of Sports Sciences 27 (2009), two papers: rank on the ergometer against rank at world championships, r 0.31 to 0.70 in big junior boats, 0.72 to 0.78 in senior singles and lightweight doubles.",
			"E. Schabort, J. Hawley, W. Hopkins and H. Blum, Journal of Sports Sciences 17 (1999) 627: 2000 m repeats within 2.0 % of power (from memory).",
		},
		Limit: "It ranks a squad roughly and cannot decide between near neighbours: race them for the seat. How fast an old test loses weight, and how far water and ergometer part, are engineering judgement. A test is asked about where it lies four standard deviations from what the others predict, or beyond what anyone has rowed.",
	},
	{
		Key: "critical-power", Title: "Critical power and predicted results",
		How: "Power is CP + W′ over the time: CP can be held, W′ is the work that can be done above it. Two tests give both exactly; more are fitted by least squares of power on one over the time, which gives standard errors. Taken are the tests of the half year up to the newest that are not in doubt and took 2 to 15 minutes; longer and shorter ones only where those within do not differ clearly, and then nothing is predicted. The rule of +5 s a doubling adds 5 s per 500 m to the pace of race power for each doubling of the distance. The ± of a prediction is that of one test to come: what the tests leave open, and a scatter of 2 % of power that the tests correct.",
		Cited: []string{
			"H. Monod and J. Scherrer, Ergonomics 8 (1965) 329: the two-parameter model.",
			"E. Schabort, J. Hawley, W. Hopkins and H. Blum, Journal of Sports Sciences 17 (1999) 627: 2000 m repeats within 2.0 % of power (from memory).",
			"Common practice: the model is meant for all-out efforts of 2 to 15 minutes; 5 s per 500 m for each doubling.",
		},
		Limit: "Outside 2 to 15 minutes take both figures as rough. The rule of +5 s a doubling fits neither sprinters nor stayers. Half a year, and a longest test a third longer than the shortest, are engineering judgement.",
	},
	{
		Key: "evidence", Title: "Evidence joined",
		How: "What is estimated is the mean power over 2000 m that an athlete moves on the water, on a logarithmic scale. Ergometer tests, seat races, recordings of a crew and the coach’s opinion each give normal figures, or differences, with a standard deviation; their precisions add. A race is judged by its own pieces alone, so that no test counts twice. What is old counts less: fitness has an SD of 4 % and forgets by half in 120 days.",
		Cited: []string{
			"A. C. Aitken, Proceedings of the Royal Society of Edinburgh 55 (1935) 42: least squares of figures of unequal precision.",
		},
		Limit: "The sources are held to be independent; an opinion formed by looking at the ergometer is not. How far recordings tell of a race (8 % of power), and the spread of a squad (12 %), are engineering judgement.",
	},
	{
		Key: "mass", Title: "Body mass and the ergometer",
		How: "The adjusted time is the time × (mass ÷ 270 lb)^0.222: it credits the lighter, whose boat lies higher, so that athletes of different mass can be compared. The single index is (speed × mass^−0.23)^1.87, set to 100 at 7:00.0 and 70 kg: only the ratio of two athletes has a meaning.",
		Cited: []string{
			"The published adjustment of the common air-braked rowing ergometer; geometric similarity gives 2/9.",
			"A. Nevill, C. Beech, R. Holder and M. Wyon, Scandinavian Journal of Medicine & Science in Sports 20 (2010) 122: junior men in singles, R² 0.28 by the ergometer alone and 0.59 with mass.",
		},
		Limit: "It compares; it is no advice to lose weight, least of all for juniors. Weight is a matter for the athlete with medical and dietary help, under the rules of the federation.",
	},
	{
		Key: "speed", Title: "Boat speed",
		How: "The power that reaches the water is 0.785 for the blade times 0.945 for the unevenness of the stroke; drag grows with the square of the speed. The boat’s drag follows from the class’s displacement, and within a class grows with the root of the mass carried.",
		Cited: []string{
			"V. Kleshnev, blade efficiency of 78.5 ± 3.1 %.",
			"A. J. de Brouwer et al., PLoS ONE 8 (2013) e54996: 5 to 6 % of the power goes into the surge of the hull.",
			"D. Cabrera, A. Ruina and V. Kleshnev, Human Movement Science 25 (2006) 192: drag of single, four and eight.",
			"T. A. McMahon, Science 173 (1971) 349: time against the number of rowers.",
			"T. B. Smith and W. G. Hopkins, Medicine & Science in Sports & Exercise 43 (2011) 2155: 3 % from venue and weather.",
		},
		Limit: "Still water, no wind. Good for differences between crews of one boat; times of the day differ by several per cent.",
	},
	{
		Key: "order", Title: "Line-ups",
		How: "The cost of a line-up is the time over 2000 m at the crew’s power and mass, plus the cost of each rower’s side, plus the coach’s seat preference in seconds, plus a charge for force curves that differ between rowers who follow each other (curve match), plus a charge for the mean square of the steering moment (yaw). Branch and bound with an assignment bound checks every line-up or proves that it need not; “proven” means the best of all for these figures. Firmness draws the race powers again and solves each draw: firm means over 90 % of the draws, likely 75 % or more, open less (our judgement).",
		Cited: []string{
			"A. Baudouin and D. Hawkins, Journal of Biomechanics 37 (2004) 969: how fast pairs went followed neither from their power nor from how well they kept together.",
			"J. Warmenhoven, S. Cobley, C. Draper and R. Smith, Sports Medicine 48 (2018) 2703: half a century of research has not settled on a best shape of the force curve.",
			"J. D. Barrow, American Journal of Physics 78 (2010) 728: which orders of the sides leave no steering moment with equal rowers.",
			"R. Burkard, S. Karisch and F. Rendl, Journal of Global Optimization 10 (1997) 391: the collection of assignment problems that the search is checked against.",
		},
		Limit: "The weights of curve match and yaw are a judgement: nobody has published a gain in speed from either. A match is called close up to a mean difference of 0.05 and fair up to 0.10, also our judgement. 5 s and 0.5 s are engineering judgement; set them to 0 to see what they change. Seats 1.4 m apart and an arc from −55° to 34° are common practice.",
	},
	{
		Key: "care", Title: "Cautions",
		How: "Shown with every result.",
		Cited: []string{
			"L. McDonnell, P. Hume and V. Nolte, Sports Medicine 41 (2011) 883: rib stress injury in 8 to 16 % of elite rowers.",
			"F. Wilson et al., British Journal of Sports Medicine 48 (2014) 1534: low-back pain in 32 to 51 % within a year.",
			"British Rowing, April 2016; Scottish Rowing, January 2017: heel restraints and quick release.",
		},
		Limit: "Not medical advice. Federation, local rules and clinicians decide.",
	},
	{
		Key: "growth", Title: "Growing athletes",
		How: "Under 18, a height that rises by 1 cm or more at 4 cm a year or faster is told, and measures older than three months ask to be taken again.",
		Cited: []string{
			"That legs and arms lead the trunk in the spurt, and that it can bring up to about 10 cm in a year: from memory.",
		},
		Limit: "The thresholds are engineering judgement, and no judgement on a child’s growth.",
	},
}
