package setup

import (
	"context"
	"strings"

	"thole/api/records"
	"thole/api/table"
	"thole/api/wire"
)

// Set-ups and work sheets as tables, one row a setting.

var targetColumns = []table.Column{
	table.Texts("Boat", "Its name."), table.Numbers("Seat", 0, "1 is bow."), table.Texts("Side", "Of the rigger in sweep; blank in sculling."), table.Texts("Rower", "Who rows the seat."),
	table.Texts("Setting", "What is set."), table.Texts("Unit", "cm or °."), table.Numbers("As found", 1, "Blank where it was never measured."),
	table.Numbers("Fitted", 1, "As calculated."), table.Numbers("Target", 1, "As fitted, or as set by hand."), table.Numbers("Tolerance", 1, "Either way."),
	table.Texts("To do", "move, measure first or leave."), table.Texts("What to do", "What to move, which way and by how much."),
	table.Numbers("Expected catch, °", 1, "With every target set; negative."), table.Numbers("Expected finish, °", 1, "With every target set."),
}

// doing is what is to be done about a line.
func (l *LineText) doing() string {
	switch {
	case l.Measure:
		return "measure first"
	case l.Moves:
		return "move"
	}
	return "leave"
}

// ends are the expected catch and finish; nil where the rig cannot be rowed.
func (o *SeatOutcome) ends() (catch, finish any) {
	if o == nil {
		return nil, nil
	}
	return o.CatchDeg, o.FinishDeg
}

// SetupTable lists what to set on a boat for a crew.
func (s *Service) SetupTable(ctx context.Context, r SetupRequest) (table.Table, string, error) {
	found, err := s.SetUp(ctx, r)
	if err != nil {
		return table.New("Set-up", targetColumns...), "", err
	}
	return found.Table(), found.BoatName + " set-up", nil
}

// Table lists what to set, one row a setting.
func (w *Setup) Table() table.Table {
	t := table.New("Set-up", targetColumns...)
	for i := range w.Seats {
		p := &w.Seats[i]
		catch, finish := p.Result.ends()
		for _, l := range p.Lines {
			t.Add(w.BoatName, p.Number, p.Side, p.Name, wire.SettingLabel(l.Setting), wire.SettingUnit(l.Setting), l.AsFound, l.Fitted, l.Target, l.Tolerance,
				l.doing(), l.Text, catch, finish)
		}
	}
	return t
}

var sheetColumns = []table.Column{
	table.Texts("Boat", "Its name."), table.Numbers("Seat", 0, "1 is bow."), table.Texts("Side", "Of the rigger in sweep; blank in sculling."), table.Texts("Rower", "Who rows the seat; blank where the athlete is no longer on record."),
	table.Texts("Setting", "What is set."), table.Texts("Unit", "cm or °."), table.Numbers("As found", 1, "Blank where it was never measured."),
	table.Numbers("Target", 1, "What to set."), table.Numbers("Tolerance", 1, "Either way."), table.Texts("To do", "move, measure first or leave."),
	table.Texts("What to do", "What to move, which way and by how much."),
	table.Numbers("Measured", 1, "Blank while it is not done."), table.Numbers("Outside tolerance", 1, "How far the measured value lies outside; 0 inside, blank while it is not done."),
	table.Texts("Measured by", "Who measured."), table.Moments("Measured at", "At the club's clock."),
}

// SheetTable lists the lines of a work sheet.
func (s *Service) SheetTable(ctx context.Context, r records.IDRequest) (table.Table, string, error) {
	sheet, err := s.Sheet(ctx, r)
	if err != nil {
		return table.New("Work sheet", sheetColumns...), "", err
	}
	return sheet.Table(), sheet.BoatName + " work sheet", nil
}

// Table lists the lines of the sheet.
func (w *Sheet) Table() table.Table {
	t := table.New("Work sheet", sheetColumns...)
	for i := range w.Seats {
		p := &w.Seats[i]
		for _, l := range p.Lines {
			var off any
			if l.Measured != nil {
				off = l.Off
			}
			t.Add(w.BoatName, p.Number, p.Side, p.Name, wire.SettingLabel(l.Setting), wire.SettingUnit(l.Setting), l.AsFound, l.Target, l.Tolerance, l.doing(), l.Text,
				l.Measured, off, l.MeasuredBy, l.MeasuredAt)
		}
	}
	return t
}

var sheetListColumns = []table.Column{
	table.Numbers("Work sheet", 0, "Its number."), table.Texts("Boat", "Its name."), table.Texts("Class", "Such as 8+."), table.Texts("Line-up", "Blank where the crew was put together for the sheet."),
	table.Texts("Made by", "Who made it."), table.Moments("Made at", "At the club's clock."),
	table.Texts("Done by", "Blank while it is open."), table.Moments("Done at", "Blank while it is open."), table.Texts("Note", "On the sheet."),
}

// SheetListTable lists work sheets, newest first.
func (s *Service) SheetListTable(ctx context.Context, r SheetsRequest) (table.Table, string, error) {
	t := table.New("Work sheets", sheetListColumns...)
	list, err := s.Sheets(ctx, r)
	for i := range list.Sheets {
		h := &list.Sheets[i]
		t.Add(int(h.ID), h.BoatName, h.BoatClass, h.LineupName, h.CreatedBy, h.CreatedAt, h.DoneBy, h.DoneAt, strings.TrimSpace(h.Note))
	}
	return t, "work sheets", err
}
