package strokefile

import (
	"context"
	"fmt"
	"io"
	"slices"

	"thole/api/access"
	"thole/api/uploads"
	"thole/api/wire"
	"thole/selection/stroke"
)

// Upload is a file of measurements that waits to be measured, by whoever sent it or a
// coach. It is removed when an hour has passed, and when the program ends.
type Upload struct {
	ID       string         `json:"id"`
	Name     string         `json:"name" description:"Of the file, as sent."`
	Bytes    int64          `json:"bytes"`
	Proposal StrokeProposal `json:"proposal" description:"How the file seems to be read, to be confirmed."`
}

// UploadRequest names an upload.
type UploadRequest struct {
	ID string `path:"id" json:"-" validate:"max=200"`
}

// RemovedUpload names an upload that is gone.
type RemovedUpload struct {
	ID string `json:"id"`
}

// AnalyseUploadRequest asks to measure a file that was uploaded.
type AnalyseUploadRequest struct {
	ID         string            `path:"id" json:"-" validate:"max=200"`
	Mapping    *StrokeMapping    `json:"mapping" description:"Without it, as detected, where that is certain."`
	Force      string            `json:"force,omitempty" enum:",handle,gate" description:"Where the force was measured; needed where the mapping is left out."`
	Seat       *string           `json:"seat" description:"Only this one, as the file calls it. An athlete names their own where the file has several."`
	Thresholds *StrokeThresholds `json:"thresholds" description:"Without it, 30 % of each stroke's own peak."`
	Levers     *OarLevers        `json:"levers" description:"Without it, no work and no power."`
}

// waiting is a file of strokes, or of mean curves, on its way into the records.
type waiting = uploads.File[StrokeProposal]

func newUploads() *uploads.Line[StrokeProposal] {
	return uploads.New("thole-strokes", stroke.SampleSize, detect)
}

// LargestUpload is how many bytes a file of who asks may have.
func LargestUpload(ctx context.Context) int64 { return uploads.Largest(ctx) }

// uploadOf tells of a file that waits.
func uploadOf(f *waiting) Upload {
	return Upload{ID: f.ID, Name: f.Name, Bytes: f.Bytes, Proposal: f.Told}
}

// Upload keeps a file of measurements for an hour and proposes how to read it.
// Errors: *Unreadable for a file that is no table, and one of status 413 for a
// file of more than 1 GB, or 128 MB of an athlete.
func (s *Service) Upload(ctx context.Context, name string, file io.Reader) (Upload, error) {
	f, err := s.uploads.Spool(ctx, name, file, true)
	if err != nil {
		return Upload{}, err
	}
	return uploadOf(f), s.uploads.Add(f)
}

// UploadOf returns an upload. The error is ErrNotFound.
func (s *Service) UploadOf(ctx context.Context, r UploadRequest) (Upload, error) {
	f, err := s.uploads.Find(ctx, r.ID)
	if err != nil {
		return Upload{}, err
	}
	return uploadOf(f), nil
}

// UploadSender is the account that sent an upload; 0 is nobody.
func (s *Service) UploadSender(id string) int64 { return s.uploads.Sender(id) }

// Waiting finds a file that waits, to keep what it holds. The error is ErrNotFound.
func (s *Service) Waiting(ctx context.Context, id string) (*uploads.File[StrokeProposal], error) {
	return s.uploads.Find(ctx, id)
}

// Done removes a file of which what was wanted is on record.
func (s *Service) Done(ctx context.Context, id string) { _ = s.uploads.Remove(ctx, id) }

// RemoveUpload removes an upload. The error is ErrNotFound.
func (s *Service) RemoveUpload(ctx context.Context, r UploadRequest) (RemovedUpload, error) {
	return RemovedUpload(r), s.uploads.Remove(ctx, r.ID)
}

// AnalyseUpload measures the strokes of an upload, telling its progress in
// bytes. The error is ErrNotFound, an *Invalid, an *Unreadable or the
// context's.
func (s *Service) AnalyseUpload(ctx context.Context, r AnalyseUploadRequest) (StrokeReport, error) {
	f, err := s.uploads.Find(ctx, r.ID)
	if err != nil {
		return StrokeReport{}, err
	}
	return analyseFile(ctx, f, &AnalyseStrokesRequest{Mapping: r.Mapping, Force: r.Force, Thresholds: r.Thresholds, Levers: r.Levers}, r.Seat)
}

func analyseFile(ctx context.Context, f *waiting, r *AnalyseStrokesRequest, seat *string) (StrokeReport, error) {
	file, err := f.Open()
	if err != nil {
		return StrokeReport{}, err
	}
	defer file.Close()
	report, mapping, err := Analyse(ctx, r, file, f.Bytes, nil)
	if err == nil {
		err = narrow(ctx, report, seat)
	}
	if err != nil {
		return StrokeReport{}, err
	}
	return wireReport(report, mapping, r.Levers), nil
}

// narrow leaves the strokes of one seat in a report: of the one that was asked for or,
// for an athlete, of the only one there is. An athlete has to say which of several is
// theirs.
func narrow(ctx context.Context, report *stroke.Report, seat *string) error {
	names := seatsOf(report)
	athlete := access.From(ctx).Role == access.Athlete
	switch {
	case seat == nil && athlete && len(names) > 1:
		return wire.At("seat").Invalid(fmt.Sprintf("The file holds %s: say which is yours. The others are left out.", seatNames(names)))
	case seat == nil:
		return nil
	case !slices.Contains(names, *seat):
		return wire.At("seat").Invalid(fmt.Sprintf("The file has no seat “%s”; it holds %s.", *seat, seatNames(names)))
	}
	report.Oars = slices.DeleteFunc(report.Oars, func(o stroke.OarReport) bool { return o.Oar.Seat != *seat })
	return nil
}

// seatsOf are the seats of a report, each once.
func seatsOf(report *stroke.Report) []string {
	var names []string
	for i := range report.Oars {
		if name := report.Oars[i].Oar.Seat; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// mostNamed is how many seats a message names, by our judgement: an eight and its coxswain.
const mostNamed = 9

// seatNames lists seats in a sentence.
func seatNames(names []string) string {
	switch {
	case len(names) == 1 && names[0] == "":
		return "one rower without a seat"
	case len(names) == 1:
		return "seat " + names[0]
	case len(names) > mostNamed:
		return fmt.Sprintf("%d seats", len(names))
	}
	return "seats " + wire.And(names)
}
