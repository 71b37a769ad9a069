"""Upstand: quotes and schedules small rooftop outdoor-room jobs.

The rooms, in the order of the job:

- whole_job: READ FIRST: survey → layout → takeoff → price → offer → days, as one pure function
- measure: what people type and read: lengths, areas, loads, temperatures, money (the only user of pint)
- job: what is known and wanted: survey, plan, choices, findings; the job file in and out
- tables: published values from shared/, each row with its source, as frozen records
- takeoff: the engine: geometry in; pieces, quantities, loads and findings out
- pricing: quantity × price list × labour rate → estimate lines, alternates, risk, tax, rounding
- agreement: what was offered and accepted: revision, fingerprint, validity, sign-off, stages, changes
- schedule: when and who: calendars, phases, crews, solving, order-by dates
- build: what happened: site log, hold points, punch list, handover completeness
- drawings: plan, walls, rough-in, loads as SVG and DXF from the same pieces
- documents: proposal, order list, day sheet, change order, handover file → HTML → PDF
- store: tables, sessions, repositories, audit trail, backup (the only user of SQLAlchemy)
- actions: what a person does to a job: one module per stage, each use one transaction
- web: one module per sheet, the client's link, sign-in, JSON API: parse, call an action, render
- cli: the commands
- main: the server
- settings: where things lie and what the environment says
"""
