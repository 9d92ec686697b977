package main

import (
	"context"
	"log/slog"

	"hangtrue/internal/face/app"
	"hangtrue/internal/face/cli"
	"hangtrue/internal/face/web"
	"hangtrue/internal/keep/disk"
)

// serve ties the pages to whatever keeps the rigs: a folder, or a school's
// database.
func serve(ctx context.Context, o cli.Serving) error {
	c := web.Config{Addr: o.Addr, Tool: o.Tool, Out: o.Out, Open: o.Open, Log: slog.New(slog.NewTextHandler(o.Log, nil))}
	if o.School != nil {
		return serveSchool(ctx, c, o.School)
	}
	folder, err := disk.Open(o.Folder, app.MostBytes)
	if err != nil {
		return err
	}
	c.Keeper = folder
	c.Shelves = app.ShelvesOf(func(kind string) (app.Keeper, error) { return folder.Shelf(kind) })
	return web.Serve(ctx, c)
}
