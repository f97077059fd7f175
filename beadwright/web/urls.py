"""Addresses of the pages; each view says who may see it (see :mod:`beadwright.web.access`)."""

from django.urls import path

from beadwright.web.ageing.views import ageing
from beadwright.web.air.views import air
from beadwright.web.charts.views import chart, chart_list, hold_charted
from beadwright.web.choices.views import choices
from beadwright.web.correcting.views import correct
from beadwright.web.costs.views import what_blocks_cost
from beadwright.web.defects.views import hold_defective, which_defects
from beadwright.web.entries.views import entry
from beadwright.web.floor.views import floor
from beadwright.web.holds.conceding import nonconformity
from beadwright.web.holds.views import hold, holds, place_hold
from beadwright.web.instruments.calibration import calibrate
from beadwright.web.instruments.study import gauge_study, record_study, recorded_study
from beadwright.web.instruments.views import hold_looked, instrument_list, looked, read_with
from beadwright.web.laboratory.curve import curve
from beadwright.web.laboratory.cutting import cutting
from beadwright.web.laboratory.kept import keep, keep_form, kept
from beadwright.web.laboratory.proof import proof_page
from beadwright.web.laboratory.views import laboratory, result
from beadwright.web.limits.views import limit_list
from beadwright.web.lots.views import lot, trace
from beadwright.web.parts.views import parts
from beadwright.web.products.conformity import conformity_page
from beadwright.web.products.inspection import plan_page
from beadwright.web.products.pour import pour
from beadwright.web.products.views import product_list, sheet
from beadwright.web.products.wall import wall
from beadwright.web.recalls.views import (
    recall_begin,
    recall_list,
    recall_one,
    recall_paper,
    recall_stage,
)
from beadwright.web.record.views import record
from beadwright.web.record.visit import visit_file
from beadwright.web.refused import no_such_page
from beadwright.web.release.views import lot_release, queue
from beadwright.web.search.views import search
from beadwright.web.sign_in.views import sign_in, sign_out, who
from beadwright.web.silos.views import silos
from beadwright.web.stations.views import station_routes, stations

__all__ = ["handler404", "urlpatterns"]

handler404 = no_such_page

urlpatterns = [
    path("", floor),
    path("silos/", silos),
    path("ageing/", ageing),
    path("air/", air),
    path("release/", queue, name="queue"),
    path("release/<str:code>/", lot_release, name="release"),
    path("stations/", stations),
    *(path(route, view) for route, view in station_routes()),
    path("in/", sign_in),
    path("out/", sign_out),
    path("who/", who),
    path("choices/", choices),
    path("parts/", parts),
    path("limits/", limit_list, name="limits"),
    path("record/", record, name="record"),
    path("record/visit/", visit_file, name="visit-file"),
    path("products/", product_list, name="products"),
    path("products/<str:product>/", sheet, name="set-up"),
    path("products/<str:product>/wall/", wall, name="wall"),
    path("products/<str:product>/inspection/", plan_page, name="inspection-plan"),
    path("products/<str:product>/conformity/", conformity_page, name="conformity"),
    path("products/<str:product>/pour/", pour, name="pour"),
    path("recalls/", recall_list, name="recalls"),
    path("recalls/begin/", recall_begin, name="recall-begin"),
    path("recalls/<str:recall_name>/", recall_one, name="recall"),
    path("recalls/<str:recall_name>/stage/", recall_stage, name="recall-stage"),
    path("recalls/<str:recall_name>/papers/<str:paper>", recall_paper, name="recall-paper"),
    path("defects/", which_defects, name="defects"),
    path("defects/hold/", hold_defective, name="hold-defective"),
    path("costs/", what_blocks_cost, name="costs"),
    path("charts/", chart_list, name="charts"),
    path("charts/<str:series>/", chart, name="chart"),
    path("charts/<str:series>/hold/", hold_charted, name="hold-charted"),
    path("instruments/", instrument_list, name="instruments"),
    path("instruments/study/", gauge_study, name="study"),
    path("instruments/study/record/", record_study, name="record-study"),
    path("instruments/<str:instrument>/", looked, name="instrument"),
    path("instruments/<str:instrument>/calibration/", calibrate, name="calibrate"),
    path("instruments/<str:instrument>/studies/<int:seq>/", recorded_study, name="recorded-study"),
    path("instruments/<str:instrument>/readings/", read_with, name="read-with"),
    path("instruments/<str:instrument>/hold/", hold_looked, name="hold-looked"),
    path("laboratory/", laboratory, name="laboratory"),
    path("laboratory/result/", result, name="result"),
    path("laboratory/curve/", curve, name="curve"),
    path("laboratory/curve/keep/", keep, name="keep-curve"),
    path("laboratory/curve/layout/", keep_form, name="keep-layout"),
    path("laboratory/curve/<slug:sha256>/", kept, name="kept-curve"),
    path("laboratory/proof/", proof_page, name="proof"),
    path("laboratory/cutting/", cutting, name="cutting"),
    path("holds/", holds, name="holds"),
    path("holds/<path:name>/", hold, name="hold"),
    path("nonconformities/<path:cause>/", nonconformity, name="nonconformity"),
    path("lots/<str:code>/hold/", place_hold, name="place-hold"),
    path("search/", search, name="search"),
    path("lots/<str:code>/", lot, name="lot"),
    path("lots/<str:code>/trace/", trace, name="trace"),
    path("entries/<int:seq>/correct/", correct, name="correct"),
    path("entries/<path:key>/", entry, name="entry"),
]
