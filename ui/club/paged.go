package club

import (
	"net/http"
	"strconv"
)

// perPage is how many athletes stand on one page, by our own judgement: what is looked
// over without a search. All are in the files.
const perPage = 100

// paging is where a page stands in a list.
type paging struct {
	First, Last, All int    // numbers of the lines shown, from 1, and how many there are
	Earlier, Later   string // addresses of the pages before and after; "" for none
}

// pageOf finds the page that a request asks for of a list: the nearest there is.
func pageOf(r *http.Request, all int) paging {
	pages := max(1, (all+perPage-1)/perPage)
	asked, err := strconv.Atoi(r.URL.Query().Get("page"))
	if err != nil {
		asked = 1
	}
	asked = max(1, min(asked, pages))
	p := paging{First: (asked-1)*perPage + 1, Last: min(asked*perPage, all), All: all}
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
