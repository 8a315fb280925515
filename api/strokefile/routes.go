package strokefile

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"mime/multipart"
	"net/http"
	"reflect"
	"slices"
	"strconv"

	"thole/api/access"
	"thole/api/rest"
	"thole/api/wire"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	sent := access.Coaches.OrSent(access.Upload, "id")
	return []rest.Route{
		rest.Custom(rest.Route{
			Method: http.MethodPost, Path: "/api/v1/strokes/analyse", Summary: "Measure strokes",
			Description: "The strokes of every seat of a file: features with mean and deviation, the mean curve, and the rows refused with their line numbers. The parts come in any order.",
			In:          strokeFile{}, Out: StrokeReport{}, Big: true, Access: access.Coaches.Calculating(),
		}, s.analyseStrokes),
		rest.Custom(rest.Route{
			Method: http.MethodPost, Path: "/api/v1/uploads", Summary: "Upload a file of strokes",
			Description: "Keeps the file for an hour and proposes how to read it. It is for who sent it, and for coaches. An athlete’s file has 128 MB at most.",
			In:          uploadFile{}, Out: Upload{}, Created: true, Access: access.Coaches.OrForThemselves(),
		}, s.upload),
		rest.Get("/api/v1/uploads/:id", "Show an upload", "With the proposal how to read it.", s.UploadOf).For(sent),
		rest.Get("/api/v1/uploads/:id/curves", "Show the mean curves of an upload", "Of a file that holds mean force curves over the oar angle or the share of the drive, and no recording.", s.UploadCurves).For(sent),
		rest.Remove("/api/v1/uploads/:id", "Remove an upload", "It would be removed after an hour, too.", s.RemoveUpload).For(sent),
		rest.Post("/api/v1/uploads/:id/analyse", "Measure an upload", "As the measuring of a file that is sent along, of one seat where it is named. An athlete gets their own seat alone.", s.AnalyseUpload).AsJob().For(sent.Calculating()),

		rest.Get("/api/v1/mappings", "List mappings", "How kinds of files are read, by name.", s.Mappings).Paged().For(access.Coaches.OrForThemselves()),
		rest.Get("/api/v1/mappings/:name", "Show a mapping", "How one kind of file is read.", s.Mapping).For(access.Coaches.OrForThemselves()),
		rest.Put("/api/v1/mappings/:name", "Save a mapping", "In place of the one that has its name.", s.SaveMapping).For(access.Coaches),
		rest.Remove("/api/v1/mappings/:name", "Remove a mapping", "What was read with it stays.", s.DeleteMapping).For(access.Coaches),
	}
}

// strokeFile is the multipart request to measure a file.
type strokeFile struct {
	File       multipart.File    `formData:"file" required:"true" description:"Delimited text."`
	Mapping    *StrokeMapping    `formData:"mapping" description:"As JSON. Without it, as detected, where that is certain."`
	Force      string            `formData:"force" description:"handle or gate, bare or as a JSON string: where the force was measured. Needed where the mapping is left out."`
	Thresholds *StrokeThresholds `formData:"thresholds" description:"As JSON. Without it, 30 % of each stroke's own peak."`
	Levers     *OarLevers        `formData:"levers" description:"As JSON. Without it, no work and no power."`
}

// uploadFile is the multipart request to keep a file.
type uploadFile struct {
	File multipart.File `formData:"file" required:"true" description:"Delimited text."`
}

// strokeForm is a multipart request as its parts come in.
type strokeForm struct {
	service *Service
	request AnalyseStrokesRequest
	seen    []string
	check   bool     // that the file begins like a table
	spooled *waiting // the file
}

// parts of the multipart request beside the file.
var strokeParts = []string{"mapping", "force", "thresholds", "levers"}

// read takes in every part.
func (f *strokeForm) read(r *http.Request, known ...string) error {
	parts, err := r.MultipartReader()
	if err != nil {
		return &rest.Malformed{Status: http.StatusUnsupportedMediaType, Detail: "Send multipart/form-data with a part named file."}
	}
	for {
		part, err := parts.NextRawPart()
		if err == io.EOF {
			break
		}
		if err != nil {
			return rest.ExplainReading(err)
		}
		name := part.FormName()
		switch {
		case slices.Contains(f.seen, name):
			return wire.At(name).Invalid("This part comes twice.")
		case name != "file" && !slices.Contains(known, name):
			return wire.At(name).Invalid("This name is not known here.")
		}
		f.seen = append(f.seen, name)
		if err := f.take(r.Context(), name, part); err != nil {
			return err
		}
	}
	if !slices.Contains(f.seen, "file") {
		return wire.At("file").Invalid("Send the measurements as the part named file.")
	}
	return nil
}

func (f *strokeForm) take(ctx context.Context, name string, part *multipart.Part) (err error) {
	if name != "file" {
		return f.decode(name, part)
	}
	f.spooled, err = f.service.uploads.Spool(ctx, part.FileName(), part, f.check)
	return err
}

// decode reads a part that is a JSON document, as a member of the request.
func (f *strokeForm) decode(name string, part io.Reader) error {
	text, err := io.ReadAll(http.MaxBytesReader(nil, io.NopCloser(part), rest.MaxBody))
	if err != nil {
		return rest.ExplainReading(err)
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return nil
	}
	if name == "force" && text[0] != '"' {
		text = strconv.AppendQuote(nil, string(bytes.TrimSpace(text))) // the bare word does
	}
	var member json.RawMessage
	if err := json.Unmarshal(text, &member); err != nil {
		return wire.At(name).Invalid("This is not one JSON document: " + err.Error() + ".")
	}
	doc, err := json.Marshal(map[string]json.RawMessage{name: member})
	if err != nil {
		return err
	}
	if err := rest.CheckShape(doc, reflect.TypeOf(&f.request)); err != nil {
		return err
	}
	return json.Unmarshal(doc, &f.request)
}

func (s *Service) analyseStrokes(c *rest.Call) error {
	f, err := s.taken(c, &strokeForm{service: s}, strokeParts...)
	if err != nil {
		return c.FailUpload(err)
	}
	file, request := f.spooled, f.request
	return c.Work(func(ctx context.Context) (any, error) {
		defer file.Discard()
		return analyseFile(ctx, file, &request, nil)
	})
}

// taken reads a form whole; nothing is left of one that cannot be read.
func (s *Service) taken(c *rest.Call, f *strokeForm, known ...string) (*strokeForm, error) {
	done, err := c.Admit(s.Uploads)
	if err != nil {
		return nil, err
	}
	defer done()
	if err = f.read(c.Request(), known...); err == nil {
		err = c.Counting(f.spooled.Sum)
	}
	if err != nil && f.spooled != nil {
		f.spooled.Discard()
	}
	return f, err
}

func (s *Service) upload(c *rest.Call) error {
	f, err := s.taken(c, &strokeForm{service: s, check: true})
	if err == nil {
		err = s.uploads.Add(f.spooled)
	}
	if err != nil {
		return c.FailUpload(err)
	}
	return c.Send(uploadOf(f.spooled))
}
