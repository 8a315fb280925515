package video_test

import (
	"bytes"
	"encoding/binary"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/fleet"
	"thole/ui/uitest"
)

// clip makes a clip of 2 s at 30 frames a second. Without ffmpeg the test is
// skipped, unless THOLE_BROWSER=required says that it must run.
func clip(t *testing.T) string {
	t.Helper()
	needFFmpeg(t)
	return made(t, "clip.webm", "-f", "lavfi", "-i", "testsrc=size=1920x1080:rate=30:duration=2", "-b:v", "2M", "-g", "10")
}

// made runs the video tool for a file of VP8 or, by its name, of H.264. One thread is
// quickest where the machine is busy: several wait for each other without resting.
func made(t *testing.T, name string, args ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	codec := []string{"-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "8", "-threads", "1"}
	if strings.HasSuffix(name, ".mp4") {
		codec = []string{"-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p"}
	}
	out, err := exec.CommandContext(t.Context(), "ffmpeg", append(append(append([]string{"-v", "error"}, args...), codec...), file)...).CombinedOutput()
	if err != nil {
		t.Fatalf("ffmpeg: %v: %s", err, out)
	}
	return file
}

// turned writes a quarter turn into the track header of an MP4 (ISO/IEC 14496-12,
// 8.3.2: the matrix begins 40 bytes into the box's body), as a phone held upright does.
func turned(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(data, []byte("tkhd"))
	if at < 0 {
		t.Fatal("the clip has no track header")
	}
	for i, v := range []int32{0, 1 << 16, 0, -1 << 16, 0, 0, 360 << 16, 0, 1 << 30} {
		binary.BigEndian.PutUint32(data[at+4+40+4*i:], uint32(v))
	}
	out := filepath.Join(t.TempDir(), "turned.mp4")
	if err := os.WriteFile(out, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return out
}

func needFFmpeg(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		if os.Getenv("THOLE_BROWSER") == "required" {
			t.Fatal("no ffmpeg on this machine, and THOLE_BROWSER=required")
		}
		t.Skip("no ffmpeg on this machine")
	}
}

// TestMeasureAClip chooses a clip, steps by frame, marks a moment and a point, keeps
// the reading and, with a tick, the frame on screen. As the browser tells its
// network, nothing at all is sent until the marks are, and nothing of the picture
// until its own form is.
func TestMeasureAClip(t *testing.T) {
	file := clip(t)
	c, b := uitest.NewClub(t), uitest.NewTab(t)
	ann := person(t, c, "Ann Example")
	consented(t, c, ann, true)
	if _, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Wren", BoatClass: "1x"}, By: "Ines"}); err != nil {
		t.Fatal(err)
	}
	b.Show("light", 390)
	network := b.Traffic()
	b.Open(c.URL + "/video")
	b.Until(`document.readyState === "complete"`)
	if opened := network.Take(); len(opened) < 3 || opened[0] != (uitest.Sent{Method: "GET", URL: c.URL + "/video"}) {
		t.Fatalf("the page is not heard: %v", opened)
	}
	b.Do(chromedp.SetUploadFiles(chromedp.CSS("#clip"), []string{file}))
	b.Until(`document.querySelector("#videotool").dataset.ready`)
	if w, h := b.Value("#width_px"), b.Value("#height_px"); w != "1920" || h != "1080" {
		t.Errorf("the picture is %s × %s", w, h)
	}
	// Each frame stands on the clip's own time, to a millisecond (webm's grain).
	took := uitest.Ask[float64](b, `(async () => {
		const at = () => parseFloat(document.querySelector("#clipat").textContent);
		document.querySelector("#frame_rate").value = 30;
		const start = performance.now();
		for (let n = 1; n <= 10; n++) {
			document.querySelector('[data-step="1"]').click();
			for (let k = 0; k < 300 && Math.abs(at() - n / 30) > 0.002; k++) await new Promise((done) => setTimeout(done, 10));
			if (Math.abs(at() - n / 30) > 0.002) return -1000 * n - at();
		}
		return (performance.now() - start) / 10;
	})()`)
	if took < 0 {
		t.Fatalf("frame and moment apart: %v", took)
	}
	t.Logf("%.0f ms a frame of 1080p", took)
	for i, n := range []string{"1", "10", "1"} {
		uitest.Ask[any](b, `document.querySelector("[data-moment='`+string(rune('0'+i))+`']").click()`)
		was := b.Text("#clipat")
		if i < 2 {
			uitest.Ask[any](b, `document.querySelector("[data-step='`+n+`']").click()`)
			b.Until(`document.querySelector("#clipat").textContent !== "` + was + `"`)
		}
	}
	if got := b.Value("#strokes"); !strings.HasPrefix(got, "0.33") || strings.Count(got, " ") != 2 {
		t.Errorf("strokes: %q", got)
	}
	uitest.Ask[any](b, `document.querySelector("#clipview").focus()`)
	uitest.Ask[any](b, `document.querySelector("#clipview").dispatchEvent(new KeyboardEvent("keydown", {key: "Enter", bubbles: true}))`)
	if got := b.Value("#near_pin"); got != "960.0 540.0" {
		t.Errorf("marked at %q", got)
	}
	for _, sent := range network.Take() {
		if sent.Method != "GET" || !strings.HasPrefix(sent.URL, c.URL+"/assets/") { // the page's own mark may come late
			t.Errorf("sent while a clip is measured: %v", sent)
		}
	}
	if wide := uitest.Ask[int64](b, "document.documentElement.scrollWidth"); wide > 390 {
		t.Errorf("%d wide on a screen of 390", wide)
	}
	keepFromHere(t, b, network)
}

// keepFromHere sends the marks, keeps the reading and adds the frame that was on
// screen.
func keepFromHere(t *testing.T, b *uitest.Tab, network *uitest.Traffic) {
	t.Helper()
	uitest.Ask[any](b, `document.querySelector("#near_pin").value = ""`)
	b.Follow("Measure", "#moments-h")
	b.Follow("Keep", "[name=boat_id]")
	uitest.Ask[any](b, `document.querySelector("[name=boat_id][value='1']").click()`)
	b.Write("[name=seat]", "1")
	b.Write("[name=by]", "Ines")
	b.Follow("Keep", ".filmed")
	b.Follow("Add a still", "#stillfigure")
	b.Until(`document.querySelector("#stillfigure img").naturalWidth === 1280`)
	for _, sent := range network.Take() {
		if len(sent.URL) > 2000 || sent.Body && !strings.HasSuffix(sent.URL, "/filmed") {
			t.Errorf("more than marks is sent: %.300v", sent)
		}
	}
	b.Axe(uitest.Ask[string](b, "location.href"), uitest.Look{Scheme: "dark", Width: 390}, uitest.Look{Scheme: "light", Width: 1280})
	uitest.Ask[any](b, `document.querySelector("#consent").click()`)
	b.Follow("Keep the still", "[data-still-kept]")
	b.Until(`document.querySelector("[data-still-kept] img").naturalWidth === 1280`)
	if uitest.Ask[bool](b, `sessionStorage.getItem("still") !== null`) {
		t.Error("the picture is still kept in the browser")
	}
}

// TestClipsAsPhonesTakeThem: upright, turned by its metadata, 4K and with frames that
// are not evenly spaced, one after the other on one page: the picture's size is that
// of what is seen, and what is odd is said.
func TestClipsAsPhonesTakeThem(t *testing.T) {
	needFFmpeg(t)
	plain := made(t, "plain.mp4", "-f", "lavfi", "-i", "testsrc=size=640x360:rate=30:duration=0.4")
	clips := []struct{ file, width, height, says string }{
		{made(t, "upright.webm", "-f", "lavfi", "-i", "testsrc=size=360x640:rate=30:duration=0.4"), "360", "640", "upright"},
		{turned(t, plain), "360", "640", "upright"},
		{made(t, "large.webm", "-f", "lavfi", "-i", "testsrc=size=3840x2160:rate=30:duration=0.2"), "3840", "2160", "stays on this device"},
		{made(t, "uneven.webm", "-f", "lavfi", "-i", "testsrc=size=640x360:rate=30:duration=2", "-vf", "select='not(eq(mod(n,5),2))*not(eq(mod(n,5),3))'", "-fps_mode", "vfr"), "640", "360", "not evenly spaced"},
	}
	c, b := uitest.NewClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/video")
	for _, one := range clips {
		b.Do(chromedp.SetUploadFiles(chromedp.CSS("#clip"), []string{one.file}))
		b.Until(`document.querySelector("#videotool").dataset.ready && document.querySelector("#width_px").value === "` + one.width + `"`)
		if h, said := b.Value("#height_px"), b.Text("#clipsaid"); h != one.height || !strings.Contains(said, one.says) {
			t.Errorf("%s: %s high, said %q", filepath.Base(one.file), h, said)
		}
	}
}

// TestNoClip: a file that is no clip is told of, and the page goes on.
func TestNoClip(t *testing.T) {
	c, b := uitest.NewClub(t), uitest.NewTab(t)
	file := filepath.Join(t.TempDir(), "broken.mp4")
	if err := os.WriteFile(file, []byte("no clip at all"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.Open(c.URL + "/video")
	b.Do(chromedp.SetUploadFiles(chromedp.CSS("#clip"), []string{file}))
	b.Until(`document.querySelector("#clipsaid").textContent.includes("cannot decode")`)
	b.Axe(c.URL+"/video?strokes=1+1.05+1.13", uitest.Look{Scheme: "dark", Width: 390}, uitest.Look{Scheme: "light", Width: 1280})
}
