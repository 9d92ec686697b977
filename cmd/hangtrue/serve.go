package main

import (
	"context"
	"log/slog"

	"hangtrue/internal/face/app"
	"hangtrue/internal/face/cli"
	"hangtrue/internal/face/web"
	"hangtrue/internal/keep/disk"
)

// serve ties the pages to the folder that keeps the rigs.
func serve(ctx context.Context, o cli.Serving) error {
	folder, err := disk.Open(o.Folder, app.MostBytes)
	if err != nil {
		return err
	}
	return web.Serve(ctx, web.Config{
		Keeper:  folder,
		Shelves: app.ShelvesOf(func(kind string) (app.Keeper, error) { return folder.Shelf(kind) }),
		Addr:    o.Addr, Tool: o.Tool, Out: o.Out, Open: o.Open,
		Log: slog.New(slog.NewTextHandler(o.Log, nil)),
	})
}
