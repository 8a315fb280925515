package wire

import "net/http"

// ProblemType is a kind of failure that programs can tell from others (RFC 9457,
// 3.1.1 and 4).
type ProblemType struct {
	Name   string // last part of its address
	Title  string
	Status int    // it usually comes with
	Text   string // what happened, and what to do
}

// ProblemAddress is where the types of problems are explained; the name of a type
// follows.
const ProblemAddress = "/api/problems/"

// URI is the address of the type, which explains it.
func (t *ProblemType) URI() string { return ProblemAddress + t.Name }

// Types that a failure names itself; that of any other follows from what the problem
// holds, or from its status.
const (
	NameTaken     = "name-taken"
	InUse         = "in-use"
	KeyReused     = "key-reused"
	SentBefore    = "sent-before"
	SheetFinished = "sheet-finished"
	DiskFull      = "disk-full"
	RecordsBroken = "records-broken"
	OnlyCoach     = "only-coach"
	RecordsMoved  = "records-moved"
)

// ProblemTypes are all there are. Of those with the same status the last stands for
// what has no type of its own.
var ProblemTypes = []ProblemType{
	{"invalid-values", "Some values need checking", http.StatusUnprocessableEntity,
		"Names or values of the request cannot be used. errors has one entry for each: field and pointer say where it stands, detail says in its unit what is wrong. Mend them and send the request again; nothing was saved."},
	{"out-of-reach", "The rig cannot be rowed", http.StatusUnprocessableEntity,
		"The body cannot take the oar where the rig or the targets want it. limit names what stops it, such as knee_flexion, and detail says by how much. Move the rig or the target."},
	{"rules-in-conflict", "No line-up keeps all rules", http.StatusUnprocessableEntity,
		"rules lists rules that no order of seats keeps together. Where irreducible is true, any one of them left out lets the others be kept; where smallest is true, no fewer are in conflict."},
	{KeyReused, "The key belongs to another request", http.StatusUnprocessableEntity,
		"An Idempotency-Key, or the key of an entry, was sent before with other content. Take a new key for each thing that is made; send the same content with the same key only to make sure that it arrived."},
	{"cannot-be-used", "This cannot be used", http.StatusUnprocessableEntity,
		"The request is well formed and asks for something that cannot be done with what is on record, or with the file that was sent. detail says why."},
	{"changed-meanwhile", "Somebody changed this in the meantime", http.StatusConflict,
		"The version that was sent is not that on record any more. version is the present one and changes lists what others did. Read the record again, put your change into it and send it with the new version; nothing was overwritten."},
	{NameTaken, "The name is taken", http.StatusConflict,
		"Another record has this name. Choose another one, or edit that record."},
	{InUse, "Other records refer to it", http.StatusConflict,
		"It cannot be removed as long as other records refer to it, such as line-ups or recordings. Archive it, or remove those first."},
	{SheetFinished, "The work sheet is finished", http.StatusConflict,
		"A finished work sheet takes no more values. Make a new one."},
	{SentBefore, "This was sent before", http.StatusConflict,
		"A request with the same Idempotency-Key is being worked on, or was, and its answer is not known here. Look whether what it makes is there."},
	{OnlyCoach, "The only coach stays", http.StatusConflict,
		"A club has one coach at least. Make another one first."},
	{RecordsMoved, "The records changed since", http.StatusConflict,
		"A table was previewed, and the records it is about were changed before it was saved. Preview it again."},
	{"conflict", "This does not go with what is on record", http.StatusConflict,
		"detail says what stands against it."},
	{"not-as-read", "This is not as you read it", http.StatusPreconditionFailed,
		"If-Match names an entity tag that is not that of what is there now, or nothing is there; or If-None-Match names one that is. Read it again and send the change with the new tag."},
	{"malformed-request", "The request cannot be read", http.StatusBadRequest,
		"The body is not one JSON object, broke off, or a header has no valid value. detail says where the fault stands."},
	{"sign-in-needed", "Sign in", http.StatusUnauthorized,
		"The server has accounts and the request carries neither a token nor the session of a browser, or one that has expired or was removed. Send Authorization: Bearer with a token, which everybody makes on the page of their account."},
	{"not-for-you", "Your account may not do this", http.StatusForbidden,
		"The role of the account, or the scope of its token, does not allow the operation. x-roles and x-scope in the description of the interface name those that do. Requests that a page of another site sends are refused so, too."},
	{"not-on-record", "There is no such thing", http.StatusNotFound,
		"Nothing is on record at this address, or an athlete asked for what is not theirs: the two look the same on purpose."},
	{"method-not-known", "The address does not know this method", http.StatusMethodNotAllowed,
		"Allow lists the methods that it knows."},
	{"too-slow", "The request came too slowly", http.StatusRequestTimeout,
		"The body did not arrive in time and was given up. Send it again."},
	{"removed-since", "What was made was removed since", http.StatusGone,
		"The request came before with the same Idempotency-Key and made something, which somebody removed since. Take a new key to make it once more."},
	{"too-large", "This is too large", http.StatusRequestEntityTooLarge,
		"A JSON document holds 1 MB, a table 8 MB. detail says which limit was passed."},
	{"wrong-media-type", "Send another type of content", http.StatusUnsupportedMediaType,
		"Documents are sent as application/json and files as multipart/form-data, and declared as such in Content-Type."},
	{"wrong-host", "The server has another name", http.StatusMisdirectedRequest,
		"The Host of the request is none of the names that the server answers to. Whoever runs it gives them with -names."},
	{"too-many-tries", "Too many tries", http.StatusTooManyRequests,
		"Too many sign-ins failed. Wait as long as Retry-After says."},
	{"fault", "The fault is ours", http.StatusInternalServerError,
		"Something went wrong in the server. It is in its log; nothing that was saved before is touched."},
	{RecordsBroken, "The records cannot be used", http.StatusServiceUnavailable,
		"The file of records is damaged, or was removed or replaced while the server runs. Nothing was saved. Whoever runs the server puts a backup in its place."},
	{"busy", "The server is busy", http.StatusServiceUnavailable,
		"Too much big work is under way, or the work was given up. Ask again after the seconds in Retry-After."},
	{DiskFull, "Nothing can be saved", http.StatusInsufficientStorage,
		"The disk is full, or the file of records cannot be written. Nothing of the request was saved, what was saved before is still there. Whoever runs the server makes room."},
}

// TypeNamed returns the type of a name.
func TypeNamed(name string) (t *ProblemType, ok bool) {
	for i := range ProblemTypes {
		if ProblemTypes[i].Name == name {
			return &ProblemTypes[i], true
		}
	}
	return nil, false
}

// typeOfStatus is the type of what has only a status; nil for a status that no type
// has.
func typeOfStatus(status int) (found *ProblemType) {
	for i := range ProblemTypes {
		if ProblemTypes[i].Status == status {
			found = &ProblemTypes[i]
		}
	}
	return found
}

// kind is the type of a problem by what it holds.
func (p *Problem) kind() *ProblemType {
	name := p.Type
	switch {
	case name != "":
	case len(p.Errors) > 0:
		name = "invalid-values"
	case p.Limit != "":
		name = "out-of-reach"
	case len(p.Rules) > 0:
		name = "rules-in-conflict"
	case p.Version != 0:
		name = "changed-meanwhile"
	}
	if t, ok := TypeNamed(name); ok {
		return t
	}
	return typeOfStatus(p.Status)
}

// Typed returns the problem with the address and the title of its type. Before, Type
// is the name of one of the [ProblemTypes], or empty.
func (p Problem) Typed() Problem {
	if t := p.kind(); t != nil {
		p.Type, p.Title = t.URI(), t.Title
		return p
	}
	p.Type, p.Title = "about:blank", http.StatusText(p.Status)
	return p
}
