package evidence

import (
	"thole/selection/erg"
	"thole/selection/evidence"
)

// grounds reports how each source is counted, and what is held to be independent.
func grounds() []string {
	return []string{
		"What is estimated is the mean power over 2000 m that an athlete moves on the water. Each source is weighed by how sure it is, one over the square of its ±.",
		"Ergometer: all tests together, with 3 % for what the ergometer leaves open about the water.",
		"Racing: differences within a seat race by its own pieces, without the ergometer, so that no test counts twice. Its level comes from the others.",
		"Recordings: differences within a crew on one day, from 26 strokes a minute and half a year old at most. The gauges and the effort of the day are shared, and cancel.",
		"Coach’s opinion: the newest of each athlete. It counts as independent: say what was seen on the water, not what the ergometer says.",
		"Races, recordings and opinions count less as they age: fitness changes.",
		"An athlete without a test or an opinion starts at the mean of the squad, with a wide ±, until racing tells more.",
	}
}

// constants lists the figures that the joining rests on.
func constants() []AssumedConstant {
	const judged = "engineering judgement"
	m := erg.DefaultModel()
	return []AssumedConstant{
		{"what the ergometer leaves open about the water, SD of ln power", erg.WaterSD, "", judged},
		{"SD of ln power of one rower against the crew on a recording", recordedSD, "", judged + ": effort in training, and gates that differ"},
		{"least rate of a recording", lowestRate, "1/min", judged},
		{"age of a recording at most", oldestRecording, "d", judged},
		{"SD of ln power of athletes about the mean of the squad", evidence.StandInSD, "", judged},
		{"SD of fitness in ln power", m.FitnessSD, "", judged + ": a season's ups and downs"},
		{"days that halve what is known of fitness", m.HalfLife, "d", judged + ": a third of a year"},
	}
}
