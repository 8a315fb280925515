package people

import (
	"context"
	"net/http"
	"time"

	"thole/api/access"
	"thole/api/records"
	"thole/api/wire"
)

// errNoAccount says that there is nobody whom a token could stand for.
var errNoAccount = &wire.Refusal{Status: http.StatusConflict, Text: "nobody has signed in: a token stands for an account"}

// TokenLine is a token as it is listed.
type TokenLine struct {
	ID        int64      `json:"id"`
	Name      string     `json:"name"`
	Scopes    []string   `json:"scopes" description:"read, write"`
	CreatedAt time.Time  `json:"created_at"`
	ExpiresAt time.Time  `json:"expires_at"`
	UsedAt    *time.Time `json:"used_at" description:"The last time, to the hour; null before the first."`
}

// TokenList lists the tokens of an account.
type TokenList struct {
	Tokens []TokenLine `json:"tokens"`
}

// NewToken is a token to be made.
type NewToken struct {
	Name   string   `json:"name" required:"true" maxLength:"100" validate:"max=100" description:"What it is for."`
	Scopes []string `json:"scopes" validate:"required,max=2,dive,oneof=read write" description:"read, or read and write."`
}

// MadeToken is a token with its secret, which is not kept.
type MadeToken struct {
	Secret string      `json:"secret" description:"To be sent as Authorization: Bearer; it is answered this once."`
	Tokens []TokenLine `json:"tokens" description:"The account’s, the newest first."`
}

// TokenList lists the tokens of whoever asks.
func (s *Service) TokenList(ctx context.Context, _ struct{}) (TokenList, error) {
	found, err := s.Tokens(ctx)
	list := TokenList{Tokens: make([]TokenLine, len(found))}
	for i, k := range found {
		line := TokenLine{ID: k.ID, Name: k.Name, Scopes: []string{}, CreatedAt: k.CreatedAt, ExpiresAt: k.ExpiresAt}
		for _, scope := range k.Scopes {
			line.Scopes = append(line.Scopes, string(scope))
		}
		if !k.UsedAt.IsZero() {
			line.UsedAt = &k.UsedAt
		}
		list.Tokens[i] = line
	}
	return list, err
}

// MakeToken makes a token of whoever asks.
func (s *Service) MakeToken(ctx context.Context, r NewToken) (MadeToken, error) {
	scopes := make([]access.Scope, len(r.Scopes))
	for i, scope := range r.Scopes {
		scopes[i] = access.Scope(scope)
	}
	secret, err := s.AddToken(ctx, r.Name, scopes)
	if err != nil {
		return MadeToken{}, err
	}
	list, err := s.TokenList(ctx, struct{}{})
	return MadeToken{secret, list.Tokens}, err
}

// DropToken ends a token of whoever asks.
func (s *Service) DropToken(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Removed{ID: r.ID}, s.RemoveToken(ctx, r.ID)
}
