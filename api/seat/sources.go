package seat

// Source says where the figures of one part come from.
type Source struct {
	Key   string   `json:"key"`
	Title string   `json:"title"`
	How   string   `json:"how" description:"What is computed and how, in plain words."`
	Cited []string `json:"cited" description:"Author, title, year, place."`
	Limit string   `json:"limit" description:"How far to trust it."`
}

// Sources lists where figures and formulas come from, by part.
func Sources() []Source { return sources }

var sources = []Source{
	{
		Key: "arc", Title: "The arc",
		How: "The catch is the largest angle at which the straight arm still reaches the handle, with feet, shins, seat, trunk and shoulder in place; the finish is where the handle stands off the torso. Both are solved from the lengths, not read from tables.",
		Cited: []string{
			"V. Kleshnev, Rowing Biomechanics Newsletter 121, April 2011: four rigs rowed by lightweight single scullers (arc, handle arc, lever ratio).",
			"FISA, Rigging Survey, World Championships 2006: how span, spread, inboard, overlap, heights and stretcher are measured.",
		},
		Limit: "With the posture of the defaults and a body filled in from the height, the first rig of the newsletter comes out within a few degrees. Calibrate with a measured arc for more.",
	},
	{
		Key: "posture", Title: "How the rower sits",
		How: "Shins upright, 25° of lean forward, 28° of layback, shoulders 5 cm forward in sculling and 9 cm in sweep unless you say otherwise. ± counts the body and the tape, not the posture.",
		Cited: []string{
			"V. Kleshnev, row2k.com, March 2024: shin angle of 60 medallists, 91.6 ± 6.7°.",
			"NASA Reference Publication 1024, vol. II, 1978: one-arm reach against two.",
		},
		Limit: "Lean, layback, rotation and the limits are engineering judgement. None is a medical threshold.",
	},
	{
		Key: "body", Title: "The body",
		How: "What you did not measure is filled in from adults who share what you did measure, as a normal distribution; a measured limb always wins. The trunk follows sitting height one for one.",
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
		How: "The shaft is a straight line from blade over gate to hand. The blade counts as covered at −3° and is carried back at +3°. The window holds the gate heights at which the blade is covered where the hands meet the body, the hands clear the thighs, and the arms slope 0 to 20° down early in the drive.",
		Cited: []string{
			"V. Kleshnev, Rowing Biomechanics Newsletters, October 2009 and August 2015; row2k.com, November 2021: vertical angles of the blade.",
			"V. Nolte, A primer on sweep rigging: arms about 10° below the horizontal early in the drive.",
			"A. Baudouin and D. Hawkins, British Journal of Sports Medicine 36 (2002) 396: sweep blade 25 × 55 cm.",
			"L. Lazauskas, University of Adelaide report L9701, 1998: waterline figures of the hulls, for how deep the boat lies.",
		},
		Limit: "Where the hands meet the body hardly depends on height: measure it. Seat over water of 7.5 cm and the front of the ribs are engineering judgement.",
	},
	{
		Key: "pitch", Title: "Pitch",
		How: "Pitch built into gate or oar, plus the sternward lean times the cosine, less the outward lean times the sine of the oar angle.",
		Cited: []string{
			"C. Douglas, boat builder, 1998: an outward lean changes the pitch at catch and finish by about two thirds of itself.",
		},
		Limit: "For small leans; pins and gates wear, so measure at the blade as well.",
	},
	{
		Key: "entry", Title: "Taking the water",
		How: "Water passes the blade's face at boat speed times the cosine of the oar angle. The blade meets it without splash when the oar turns at that speed over its outer lever; what it sweeps until it is covered is missed.",
		Cited: []string{
			"V. Kleshnev, Rowing Biomechanics Newsletters: slip of 6° in sculling and 9° in sweep to the −3° threshold.",
		},
		Limit: "Boat speed and how the blade comes down are typed in or assumed; going deeper than covered is common practice to count against.",
	},
	{
		Key: "seat-racing", Title: "Seat racing",
		How: "The logarithm of a boat’s time is the piece’s own, which takes up wind and stream, plus the mean of its athletes’ effects, plus scatter: least squares. Intervals average over the scatter that the residuals and the documented one leave open, and with a prior over how far its spread holds. What the crews never parted is named and not guessed. Plans are searched for the least mean variance of the differences that matter. Seconds turn into watts by the cube of the speed.",
		Cited: []string{
			"T. B. Smith and W. G. Hopkins, Medicine & Science in Sports & Exercise 43 (2011) 2155: 0.9 % scatter of one crew’s race times, 3 % from venue and weather.",
			"H. Hotelling, Annals of Mathematical Statistics 15 (1944) 297; A. M. Mood, ibid. 17 (1946) 432: weighing designs, which the plans are measured against.",
			"D. Cabrera, A. Ruina and V. Kleshnev, Human Movement Science 25 (2006) 192: drag, for the time expected of a power.",
		},
		Limit: "The scatter was found between races of elite crews; side by side it may be less, in novices more. 12 % for an athlete without a test and 5 % for a squad’s level are engineering judgement. A swap also changes balance and rhythm: what is measured is the athlete in these boats, on this day.",
	},
	{
		Key: "fit", Title: "Setting up for a crew",
		How: "Settings move on their steps and within their ranges until the ends of the arc, the hands at the finish and the overlap come as near to what is wanted as they can, and as little moves as will do. A target counts as met within half a degree or a centimetre. All seats share catch, finish and one set of oars. Left open, the ends of the arc are chosen between the crew and the class's usual ones.",
		Cited: []string{
			"Common practice: the stretcher moves first, then gate and heel heights, then span and inboard together, oars last; pins before heights before pitch before stretcher.",
			"Common practice: pins, collars and gates to 2 mm, oars and stretchers to 5 mm.",
		},
		Limit: "Costs, tolerances of targets and steps are engineering judgement. ± of the body remains: measure the arc on the water and calibrate.",
	},
	{
		Key: "slip", Title: "Slip, and what a stroke measures",
		How: "A stroke runs from one smallest oar angle to the next. Slip at the catch is the arc until the blade works, slip at the release what is left when it ceases to; both depend on the threshold, which is shown beside them. Work is the moment about the pin over the angle of the drive; power is that over the whole cycle. Without levers there is neither.",
		Cited: []string{
			"S. Millar et al., Sports 3 (2015) 335: slip at 30 % of the peak, among other thresholds.",
			"V. Kleshnev, Rowing Biomechanics Newsletter, August 2015: the blade covered at −3°.",
		},
		Limit: "Only as good as the zero of the sensor and the unit of the file. A force along the boat has to be divided by the cosine of the oar angle first.",
	},
	{
		Key: "likeness", Title: "How alike two curves are",
		How: "The difference of shape is half the area between two curves of equal area, 0 to 1. Correlation, the shift at which two curves fit best, and the distance by dynamic time warping stand beside it, so that timing is told apart from shape. The squad is ordered by average linkage with the least difference between neighbours.",
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
		How: "Power is 2.80 over the cube of the pace in seconds a metre. Every test of an athlete is carried over to 2000 m, with less weight the older it is and the further its duration lies off, and gives a race power with an interval. Athletes whose tests cannot be told apart stand in one band.",
		Cited: []string{
			"The published relation of pace and power of the common air-braked rowing ergometer: 2:00 for 500 m is 202.5 W.",
			"P. Mikulić et al., Journal of Sports Sciences 27 (2009), two papers: rank on the ergometer against rank at world championships, r 0.31 to 0.70 in big junior boats, 0.72 to 0.78 in senior singles and lightweight doubles.",
			"E. Schabort, J. Hawley, W. Hopkins and H. Blum, Journal of Sports Sciences 17 (1999) 627: 2000 m repeats within 2.0 % of power (from memory).",
		},
		Limit: "It ranks a squad roughly and cannot decide between near neighbours: race them for the seat. How fast an old test loses weight, and how far water and ergometer part, are engineering judgement. A test is asked about where it lies four standard deviations from what the others foretell, or beyond what anyone has rowed.",
	},
	{
		Key: "critical-power", Title: "Critical power, and results foretold",
		How: "Power is CP + W′ over the time: CP can be held, W′ is the work that can be done above it. Two tests give both exactly; more are fitted by least squares of power on one over the time, which gives standard errors. Taken are the tests of the half year up to the newest that are not in doubt. The rule of doublings adds 5 s per 500 m to the pace of race power for each doubling of the distance.",
		Cited: []string{
			"H. Monod and J. Scherrer, Ergonomics 8 (1965) 329: the two-parameter model.",
			"Common practice: the model is meant for all-out efforts of 2 to 15 minutes; 5 s per 500 m for each doubling.",
		},
		Limit: "Outside 2 to 15 minutes take both figures as rough. The rule of doublings fits neither sprinters nor stayers. Half a year is engineering judgement.",
	},
	{
		Key: "mass", Title: "Body mass and the ergometer",
		How: "The adjusted time is the time × (mass ÷ 270 lb)^0.222: it credits the lighter, whose boat lies higher, so that athletes of different mass can be compared. The index for the single is (speed × mass^−0.23)^1.87, set to 100 at 7:00.0 and 70 kg: only the ratio of two athletes has a meaning.",
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
		Key: "order", Title: "Who sits where",
		How: "The cost of an order is the time over 2000 m at the crew’s power and mass, plus what each rower’s side costs, plus the coach’s own seconds for a seat, plus a charge for strokes that differ between rowers who follow each other, plus a charge for the mean square of the turning moment. Branch and bound with an assignment bound looks at every order or proves that it need not; so what is called proven is the best of all, for these figures. Firmness draws the race powers again and solves each draw afresh.",
		Cited: []string{
			"A. Baudouin and D. Hawkins, Journal of Biomechanics 37 (2004) 969: how fast pairs went followed neither from their power nor from how well they kept together.",
			"J. Warmenhoven, S. Cobley, C. Draper and R. Smith, Sports Medicine 48 (2018) 2703: half a century of research has not settled on a best shape of the force curve.",
			"J. D. Barrow, American Journal of Physics 78 (2010) 728: which orders of the sides leave no turning moment with equal rowers.",
			"R. Burkard, S. Karisch and F. Rendl, Journal of Global Optimization 10 (1997) 391: the collection of assignment problems that the search is checked against.",
		},
		Limit: "What alike strokes and a straight boat are worth is a judgement: nobody has published a gain in speed from either. 5 s and 0.5 s are engineering judgement; set them to 0 to see what they change. Seats 1.4 m apart and an arc from −55° to 34° are common practice.",
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
