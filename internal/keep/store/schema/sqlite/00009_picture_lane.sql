-- +goose Up
-- A walk round the drawn load that is a student's run of a lane; '' for a drill.
ALTER TABLE drill ADD COLUMN run TEXT NOT NULL DEFAULT '';

CREATE INDEX drill_run ON drill (run);

-- +goose StatementBegin
CREATE TRIGGER drill_run_kept BEFORE UPDATE OF run ON drill BEGIN
	SELECT RAISE(ABORT, 'what a drill is for is not changed');
END;
-- +goose StatementEnd
