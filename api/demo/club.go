package demo

import (
	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/wire"
)

// The people, oars and boats of the demo club. All of them are invented; the
// figures lie where bodies and boats of their kind do.

var demoAthletes = []demoAthlete{
	{name: "Ingrid Sollberg", sex: "female", years: 26, days: 140, port: 0, starboard: 1.5, sculls: true, best2k: 424.6, pace6k: 112.4,
		taken: []demoTaken{{ago: 410, stature: 182, mass: 76}, {ago: 31, stature: 182, span: 185, sitting: 94, mass: 75, drawUp: 36.5}},
		note:  "Stroke of the women’s four."},
	{name: "Maeve Tarrant", sex: "female", years: 29, days: 31, port: 2, starboard: 0, sculls: true, best2k: 438.2, pace6k: 116.1,
		taken: []demoTaken{{ago: 31, stature: 176, span: 178, sitting: 91.5, mass: 70}}},
	{name: "Chiamaka Obiora", sex: "female", years: 23, days: 260, port: 0, starboard: 0.5, sculls: true, best2k: 431.9, pace6k: 114.6,
		taken: []demoTaken{{ago: 31, stature: 179, span: 187, sitting: 90, mass: 74, drawUp: 35.5}}, note: "Long arms: check the reach first."},
	{name: "Lotte Brandvold", sex: "female", years: 31, days: 12, port: notRowed, starboard: 0, sculls: true, best2k: 449.8, pace6k: 119.3,
		taken: []demoTaken{{ago: 31, stature: 171, span: 170, mass: 64}}},
	{name: "Sanna Pirkola", sex: "female", years: 21, days: 88, port: notRowed, starboard: notRowed, sculls: true, best2k: 455.3,
		taken:   []demoTaken{{ago: 212, stature: 168, mass: 58.5}, {ago: 31, stature: 168, span: 169.5, sitting: 88, mass: 58, drawUp: 35}},
		posture: &seat.Posture{LeanDeg: wire.Ptr(28.5), LaybackDeg: wire.Ptr(26.0), ProtractionCm: wire.Ptr(5.5)}, note: "Lightweight single."},
	{name: "Ruth Amsel", sex: "female", years: 35, days: 201, port: 0, starboard: notRowed, best2k: 445.0, pace6k: 117.8,
		taken: []demoTaken{{ago: 52, stature: 174, mass: 71}}},

	{name: "Tomas Verhelde", sex: "male", years: 27, days: 75, port: 0, starboard: 2, sculls: true, best2k: 368.4, pace6k: 98.2,
		taken:   []demoTaken{{ago: 400, stature: 193.5, mass: 95}, {ago: 29, stature: 193.5, span: 199, sitting: 100, mass: 94, drawUp: 38.5}},
		posture: &seat.Posture{LeanDeg: wire.Ptr(27.0), LaybackDeg: wire.Ptr(30.0), ProtractionCm: wire.Ptr(9.5)}, note: "The big single is still set for him."},
	{name: "Aurel Dascalu", sex: "male", years: 24, days: 300, port: 1, starboard: 0, best2k: 374.9, pace6k: 100.3,
		taken: []demoTaken{{ago: 29, stature: 188, span: 192, sitting: 98, mass: 88}}},
	{name: "Jonas Wickstead", sex: "male", years: 33, days: 158, port: 0, starboard: 0, sculls: true, best2k: 381.7, pace6k: 101.9,
		tests: []demoTest{{52, 1000, 178.6, ""}, {38, 3000, 596.2, "On sliders."}},
		taken: []demoTaken{{ago: 29, stature: 185, span: 186, mass: 84, drawUp: 37.5}}},
	{name: "Kofi Mensah-Bright", sex: "male", years: 22, days: 19, port: notRowed, starboard: 0, best2k: 372.0, pace6k: 99.0,
		taken: []demoTaken{{ago: 29, stature: 190, span: 199, sitting: 95, mass: 90}}},
	{name: "Davide Roncalli", sex: "male", years: 30, days: 222, port: 0, starboard: 3, sculls: true, best2k: 391.5, pace6k: 104.8,
		taken: []demoTaken{{ago: 29, stature: 180, span: 181, mass: 77}}},
	{name: "Emre Saltan", sex: "male", years: 20, days: 340, port: 0, starboard: notRowed, sculls: true, best2k: 396.8,
		taken: []demoTaken{{ago: 29, stature: 177, mass: 72}}, note: "Two years of sweep; sculls since autumn."},

	{name: "Nell Ashgrove", sex: "female", years: 15, days: 60, port: notRowed, starboard: notRowed, sculls: true, best2k: 486.0,
		taken: []demoTaken{
			{ago: 600, stature: 147.5, mass: 38}, {ago: 420, stature: 151, mass: 41}, {ago: 240, stature: 155.2, mass: 45},
			{ago: 120, stature: 157.4, span: 156, mass: 47}, {ago: 20, stature: 158.6, span: 157.5, sitting: 82, mass: 48.5},
		}, note: "Takes over the big single when it has been set for her."},
	{name: "Yuki Tanabe", sex: "female", years: 16, days: 210, port: 0, starboard: 0, sculls: true, best2k: 470.4,
		taken: []demoTaken{{ago: 420, stature: 161.5, mass: 52}, {ago: 120, stature: 163.6, mass: 54.5}, {ago: 20, stature: 164, span: 163, sitting: 86.5, mass: 55}}},
	{name: "Freya Lund", sex: "female", years: 17, days: 130, port: 0, starboard: 1, sculls: true, best2k: 452.7, pace6k: 120.4,
		taken: []demoTaken{{ago: 420, stature: 171.5, mass: 62}, {ago: 20, stature: 172.2, span: 174, sitting: 90, mass: 64, drawUp: 35.5}}},
	{name: "Priya Ramanand", sex: "female", years: 14, days: 45, port: notRowed, starboard: notRowed, sculls: true,
		taken: []demoTaken{{ago: 420, stature: 145, mass: 36}, {ago: 150, stature: 151.4, mass: 42}}, note: "Away at school; measure when she is back."},

	{name: "Oskar Wendt", sex: "male", years: 15, days: 20, port: 0, starboard: 0, sculls: true, best2k: 437.5,
		taken: []demoTaken{
			{ago: 600, stature: 157, mass: 44}, {ago: 420, stature: 161.3, mass: 49}, {ago: 240, stature: 166.5, mass: 54},
			{ago: 120, stature: 169.8, mass: 57.5}, {ago: 20, stature: 172.1, span: 173, sitting: 87, mass: 60},
		}, note: "Grew out of the junior double."},
	{name: "Luca Ferrand", sex: "male", years: 16, days: 250, port: 1, starboard: 0, sculls: true, best2k: 409.3, pace6k: 109.6,
		taken: []demoTaken{{ago: 420, stature: 178, mass: 66}, {ago: 120, stature: 181.4, mass: 71}, {ago: 20, stature: 182, span: 185, sitting: 94, mass: 72}}},
	{name: "Sam Okafor", sex: "male", years: 17, days: 310, port: 0, starboard: notRowed, best2k: 394.1, pace6k: 105.5,
		taken: []demoTaken{{ago: 120, stature: 186.2, mass: 79}, {ago: 20, stature: 186.5, span: 193, sitting: 94.5, mass: 80}}},
	{name: "Milo Peverell", sex: "male", years: 14, days: 5, port: notRowed, starboard: notRowed, sculls: true,
		taken: []demoTaken{{ago: 420, stature: 150.2, mass: 40}, {ago: 200, stature: 154.1, mass: 43}, {ago: 20, stature: 159.3, mass: 47}}},

	{name: "Hanne Grieg", sex: "female", years: 58, days: 99, port: 0, starboard: 0.5, sculls: true, best2k: 502.6, pace6k: 131.0,
		taken: []demoTaken{{ago: 75, stature: 166, span: 165, mass: 63, drawUp: 34.5}}, note: "Stiff ankles: less compression."},
	{name: "Walter Stibbe", sex: "male", years: 66, days: 180, port: 2, starboard: 0, sculls: true, best2k: 455.9, pace6k: 119.9,
		taken: []demoTaken{{ago: 75, stature: 178, mass: 79}}},
	{name: "Dolores Quintanar", sex: "female", years: 49, days: 7, port: notRowed, starboard: 0, sculls: true, best2k: 489.4,
		tests: []demoTest{{58, 2000, 525, "From the whiteboard: the tens may be wrong."}},
		taken: []demoTaken{{ago: 75, stature: 162, span: 161, mass: 59}}},
	{name: "Bertram Oakes", sex: "male", years: 54, days: 270, port: 0, starboard: 1, best2k: 421.8, pace6k: 111.7,
		taken: []demoTaken{{ago: 75, stature: 184, span: 186, sitting: 97, mass: 91}}},
}

var demoOars = []fleet.OarFields{
	{Name: "Sculls, blue sleeves", Kind: "scull", Count: 16, Blade: "hatchet", LengthMinCm: wire.Ptr(284.0), LengthMaxCm: wire.Ptr(292.0), LengthStepCm: wire.Ptr(0.5), LengthCm: wire.Ptr(288.0),
		InboardMinCm: wire.Ptr(85.0), InboardMaxCm: wire.Ptr(91.0), InboardStepCm: wire.Ptr(0.5), InboardCm: wire.Ptr(88.0)},
	{Name: "Sculls, yellow sleeves", Kind: "scull", Count: 12, Blade: "hatchet, small", LengthMinCm: wire.Ptr(270.0), LengthMaxCm: wire.Ptr(282.0), LengthStepCm: wire.Ptr(0.5), LengthCm: wire.Ptr(278.0),
		InboardMinCm: wire.Ptr(83.0), InboardMaxCm: wire.Ptr(88.0), InboardStepCm: wire.Ptr(0.5), InboardCm: wire.Ptr(85.5), Note: "For juniors and small people."},
	{Name: "Sweeps, eight", Kind: "sweep", Count: 10, Blade: "hatchet", LengthMinCm: wire.Ptr(368.0), LengthMaxCm: wire.Ptr(378.0), LengthStepCm: wire.Ptr(0.5), LengthCm: wire.Ptr(375.0),
		InboardMinCm: wire.Ptr(112.0), InboardMaxCm: wire.Ptr(118.0), InboardStepCm: wire.Ptr(0.5), InboardCm: wire.Ptr(114.5), Note: "Two spares."},
	{Name: "Sweeps, old fours", Kind: "sweep", Count: 4, Blade: "hatchet", LengthMinCm: wire.Ptr(372.0), LengthMaxCm: wire.Ptr(372.0), LengthCm: wire.Ptr(372.0),
		InboardMinCm: wire.Ptr(113.0), InboardMaxCm: wire.Ptr(117.0), InboardStepCm: wire.Ptr(0.5), InboardCm: wire.Ptr(115.0), Note: "Glued: the length cannot be moved."},
}

// Rigs that the boats were delivered with.
var (
	scullRig = demoRig{
		"span_cm": 159, "inboard_cm": 88, "oar_length_cm": 288, "heel_to_pin_cm": 22, "heel_depth_cm": 17, "plate_angle_deg": 42,
		"gate_height_cm": 17, "gate_difference_cm": 1, "stern_pitch_deg": 4, "outward_pitch_deg": 0, "blade_pitch_deg": 0,
	}
	sweepRig = demoRig{
		"spread_cm": 85, "inboard_cm": 115, "oar_length_cm": 374, "heel_to_pin_cm": 20, "heel_depth_cm": 17, "plate_angle_deg": 42,
		"gate_height_cm": 17, "stern_pitch_deg": 4, "outward_pitch_deg": 0, "blade_pitch_deg": 0,
	}
)

const overhaul = "Measured after the overhaul."

var demoBoats = []demoBoat{
	{BoatFields: fleet.BoatFields{Name: "Halcyon", BoatClass: "1x", HullMassKg: wire.Ptr(14.2), BuiltForKg: wire.Ptr(90.0), Note: "Heavyweight hull, rowed by Tomas for two seasons."},
		work: []demoWork{
			{ago: 380, by: boatman, why: overhaul, all: scullRig},
			{ago: 340, by: boatman, why: "Tomas: more room, longer oars.", all: demoRig{"span_cm": 160, "inboard_cm": 88.5, "oar_length_cm": 290, "heel_to_pin_cm": 27, "heel_depth_cm": 19, "gate_height_cm": 18.5}},
			{ago: 95, by: coach, why: "Tried less gate in a head wind.", all: demoRig{"gate_height_cm": 17.5}},
			{ago: 88, by: coach, why: "Knees in the way: as it was.", undo: true},
		}},
	{BoatFields: fleet.BoatFields{Name: "Wren", BoatClass: "1x", HullMassKg: wire.Ptr(13.9), BuiltForKg: wire.Ptr(60.0), Note: "Weigh before racing."},
		work: []demoWork{
			{ago: 380, by: boatman, why: overhaul, all: scullRig},
			{ago: 205, by: coach, why: "Sanna, from the gate sensor.", all: demoRig{"span_cm": 158, "inboard_cm": 87, "oar_length_cm": 285, "heel_to_pin_cm": 20, "heel_depth_cm": 15.5, "gate_height_cm": 15.5}},
		}},
	{BoatFields: fleet.BoatFields{Name: "Brimstone", BoatClass: "2x", HullMassKg: wire.Ptr(27.6), BuiltForKg: wire.Ptr(80.0)},
		work: []demoWork{
			{ago: 370, by: boatman, why: overhaul, all: scullRig, seats: map[int]demoRig{2: {"heel_to_pin_cm": 23.5}}},
			{ago: 44, by: boatman, why: "Jonas and Davide for the autumn head.", all: demoRig{"span_cm": 159.5, "inboard_cm": 88.5}, seats: map[int]demoRig{1: {"heel_to_pin_cm": 24, "gate_height_cm": 17.5}}},
		}},
	{BoatFields: fleet.BoatFields{Name: "Cuckoo", BoatClass: "2x", HullMassKg: wire.Ptr(31.0), BuiltForKg: wire.Ptr(55.0), Note: "Learners’ double, wide and steady."},
		work: []demoWork{{ago: 300, by: boatman, why: "Set low and narrow for juniors.", all: demoRig{
			"span_cm": 156, "inboard_cm": 85.5, "oar_length_cm": 278, "heel_to_pin_cm": 16, "heel_depth_cm": 14, "plate_angle_deg": 40, "gate_height_cm": 14.5, "gate_difference_cm": 0.5, "stern_pitch_deg": 4,
		}}}},
	{BoatFields: fleet.BoatFields{Name: "Two Herons", BoatClass: "2-", HullMassKg: wire.Ptr(27.2), BuiltForKg: wire.Ptr(82.0)},
		sides: []string{"starboard", "port"}, either: []int{1, 2},
		work: []demoWork{{ago: 365, by: boatman, why: overhaul, all: sweepRig, seats: map[int]demoRig{1: {"spread_cm": 86, "inboard_cm": 116}, 2: {"spread_cm": 86, "inboard_cm": 116, "heel_to_pin_cm": 21.5}}}}},
	{BoatFields: fleet.BoatFields{Name: "Kestrel", BoatClass: "4x", HullMassKg: wire.Ptr(52.5), BuiltForKg: wire.Ptr(72.0), Note: "Bought from a women’s crew."},
		work: []demoWork{
			{ago: 250, by: boatman, why: "As it came.", all: scullRig, seats: map[int]demoRig{
				1: {"heel_to_pin_cm": 19, "gate_height_cm": 16}, 2: {"heel_to_pin_cm": 20.5}, 3: {"heel_to_pin_cm": 21, "stern_pitch_deg": 5}, 4: {"heel_to_pin_cm": 20, "gate_height_cm": 16.5},
			}},
			{ago: 60, by: boatman, why: "Bent pin on three changed.", seats: map[int]demoRig{3: {"stern_pitch_deg": 4}}},
		}},
	{BoatFields: fleet.BoatFields{Name: "Old Friday", BoatClass: "4+", HullMassKg: wire.Ptr(55.0), BuiltForKg: wire.Ptr(78.0), SeatOverWaterCm: wire.Ptr(8.5), Note: "Masters and visitors. Riggers welded: the spread stays."},
		work: []demoWork{{ago: 365, by: boatman, why: overhaul, all: sweepRig, seats: map[int]demoRig{1: {"oar_length_cm": 372}, 2: {"oar_length_cm": 372}, 3: {"oar_length_cm": 372}, 4: {"oar_length_cm": 372, "gate_height_cm": 18}}}}},
	{BoatFields: fleet.BoatFields{Name: "Marl", BoatClass: "4-", HullMassKg: wire.Ptr(50.4), BuiltForKg: wire.Ptr(88.0), WaterlineLengthM: wire.Ptr(11.9), WaterlineBeamM: wire.Ptr(0.43)},
		sides: []string{"port", "starboard", "starboard", "port"}, either: []int{2, 3},
		work: []demoWork{
			{ago: 365, by: boatman, why: overhaul, all: sweepRig},
			{ago: 160, by: coach, why: "Men’s four: longer levers.", all: demoRig{"spread_cm": 84.5, "inboard_cm": 114.5, "oar_length_cm": 375, "heel_to_pin_cm": 23}, seats: map[int]demoRig{2: {"heel_to_pin_cm": 24.5, "gate_height_cm": 18}, 4: {"gate_height_cm": 18}}},
		}},
	{BoatFields: fleet.BoatFields{Name: "Nightjar", BoatClass: "8+", HullMassKg: wire.Ptr(97.0), BuiltForKg: wire.Ptr(86.0), Note: "Set for last year’s men; the spring eight is mixed, from 164 to 190 cm."},
		either: []int{3, 4, 5, 6},
		work: []demoWork{
			{ago: 390, by: boatman, why: overhaul, all: sweepRig},
			{ago: 330, by: boatman, why: "Last year’s men’s eight.", all: demoRig{"spread_cm": 84, "inboard_cm": 114.5, "oar_length_cm": 375, "gate_height_cm": 18, "heel_depth_cm": 18, "heel_to_pin_cm": 23},
				seats: map[int]demoRig{1: {"heel_to_pin_cm": 21.5, "gate_height_cm": 17.5}, 4: {"heel_to_pin_cm": 24.5}, 5: {"heel_to_pin_cm": 25, "gate_height_cm": 18.5}, 6: {"heel_to_pin_cm": 24}, 7: {"stern_pitch_deg": 3}, 8: {"heel_to_pin_cm": 22}}},
			{ago: 140, by: boatman, why: "New gates on the stroke pair.", seats: map[int]demoRig{7: {"stern_pitch_deg": 4, "gate_height_cm": 17.5}, 8: {"gate_height_cm": 17.5}}},
		}},
	{BoatFields: fleet.BoatFields{Name: "Grey Lady", BoatClass: "4x", Archived: true, Note: "Sold; kept for its history."},
		work: []demoWork{{ago: 500, by: boatman, why: "Before the sale.", all: demoRig{"span_cm": 160, "inboard_cm": 88, "oar_length_cm": 289, "heel_to_pin_cm": 21}}}},
}
