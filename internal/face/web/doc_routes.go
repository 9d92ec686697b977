package web

func docRoutes() []route {
	return []route{
		{"GET", "/docs", "the documents: what there is, and a search", anyone, (*Server).docsIndex},
		{"GET", "/docs/{page...}", "one document or one of its pictures", anyone, (*Server).docsPage},
	}
}
