package progress

import (
	"thole/api/progress"
	"thole/api/table"
)

// text and number are columns as they leave.
func text(heading string) table.Column { return table.Column{Heading: heading, Kind: table.Text} }

func number(heading string) table.Column {
	return table.Column{Heading: heading, Kind: table.Number, Digits: table.Free}
}

// progressTable holds every recording's mean of every measure, a row each.
func progressTable(p *progress.Progress) table.Table {
	t := table.New("Progress", text("Day"), text("Measure"), text("Unit"), number("Mean"), number("SD from stroke to stroke"), number("Noise of the mean, SD"),
		number("Strokes"), number("Rate, a minute"))
	for i := range p.Series {
		line := &p.Series[i]
		for _, one := range line.Points {
			t.Add(one.RecordedOn, line.Label, line.Unit, one.Mean, one.SD, one.NoiseSD, one.Strokes, p.RatePerMin)
		}
	}
	return t
}

// crewTable holds every change of every rower, a row each.
func crewTable(c *progress.Crew) table.Table {
	t := table.New("Crew", text("Rower"), text("Seat"), text("Measure"), text("Unit"), number("Before"), number("After"), number("Change"),
		number("Noise of the change, SD"), number("Times the noise"), text("Verdict"))
	for _, row := range c.Rows {
		if row.Changes == nil {
			continue
		}
		for i := range row.Changes.List {
			one := &row.Changes.List[i]
			t.Add(row.Athlete, row.Seat, one.Label, one.Unit, one.Before, one.After, one.Change.Value, one.Change.NoiseSD, one.Change.Times, one.Change.Verdict)
		}
	}
	return t
}
