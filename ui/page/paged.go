package page

import (
	"net/http"
	"strconv"
)

// PerPage is how many athletes stand on one page, by our own judgement: what is looked
// over without a search, and what a phone takes. All are in the files.
const PerPage = 100

// Paging is where a page stands in a list.
type Paging struct {
	First, Last, All int    // numbers of the lines shown, from 1, and how many there are
	Earlier, Later   string // addresses of the pages before and after; "" for none
}

// PageOf finds the page that a request asks for of a list: the nearest there is.
func PageOf(r *http.Request, all int) Paging {
	pages := max(1, (all+PerPage-1)/PerPage)
	asked, err := strconv.Atoi(r.URL.Query().Get("page"))
	if err != nil {
		asked = 1
	}
	asked = max(1, min(asked, pages))
	p := Paging{First: (asked-1)*PerPage + 1, Last: min(asked*PerPage, all), All: all}
	if asked > 1 {
		p.Earlier = pageAt(r, asked-1)
	}
	if asked < pages {
		p.Later = pageAt(r, asked+1)
	}
	return p
}

// pageAt is the address of another page of the same list.
func pageAt(r *http.Request, number int) string {
	query := r.URL.Query()
	query.Set("page", strconv.Itoa(number))
	return r.URL.Path + "?" + query.Encode()
}
