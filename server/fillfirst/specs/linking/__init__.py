"""Written specs to linked ones: every name looked up, every quantity in SI, every rule written out."""

from __future__ import annotations

from fillfirst.specs.linked import Specs
from fillfirst.specs.linking.applicability import Layouts, check_applicability
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.facts import link_fact_groups, link_facts
from fillfirst.specs.linking.figures import link_figures
from fillfirst.specs.linking.formulas import link_formulas, link_tables
from fillfirst.specs.linking.functions import link_functions
from fillfirst.specs.linking.jobs import check_services, link_jobs
from fillfirst.specs.linking.lists import (
    link_equipment,
    link_fluids,
    link_hazards,
    link_phases,
    link_sources,
    link_units,
)
from fillfirst.specs.linking.needs import Plan
from fillfirst.specs.linking.order import check_flow, link_order
from fillfirst.specs.linking.readiness import Readings, check_readiness
from fillfirst.specs.linking.rules import link_rules
from fillfirst.specs.linking.steps import link_readings, link_steps
from fillfirst.specs.linking.variables import link_variables
from fillfirst.specs.linking.vehicles import check_complete, link_vehicles
from fillfirst.specs.names import Index
from fillfirst.specs.problems import Report
from fillfirst.specs.shapes import Shapes


def link(shapes: Shapes, index: Index, report: Report, *, whole_cars: bool = True) -> Specs | None:
    """Link everything that can be, telling all that cannot; the specs when nothing was told.

    Checks that look at all files together are left out while a file is missing from the picture, since
    they would blame the others for it. Without `whole_cars` a demo car may lack what a job needs.
    """
    context = Context(index, report)
    facts = link_facts(context, shapes)
    tables = link_tables(context, shapes)
    formulas = link_formulas(context, shapes, tables)
    functions = link_functions(context, shapes)
    figures = link_figures(context, shapes, formulas)
    phases, jobs, steps = (
        link_phases(context, shapes),
        link_jobs(context, shapes),
        link_steps(context, shapes),
    )
    variables, rules = link_variables(context, shapes), link_rules(context, shapes)
    vehicles = link_vehicles(context, shapes, facts)
    readings = link_readings(context, shapes)
    ordered = link_order(context, shapes, phases, jobs, steps)
    if shapes.whole:
        check_services(context, shapes)
        check_flow(context, ordered, steps)
    if shapes.whole and not context.unread_conditions:
        plan = Plan(facts, formulas, figures, variables, rules, jobs, steps)
        layouts = Layouts(facts)
        check_readiness(context, ordered, Readings(plan, readings, layouts))
        check_applicability(context, shapes, plan, layouts)
        if whole_cars:
            check_complete(context, shapes, vehicles, plan)
    units, sources = link_units(context, shapes), link_sources(shapes)
    fluids, hazards = link_fluids(shapes), link_hazards(context, shapes)
    equipment = link_equipment(context, shapes)
    if report.problems or not shapes.whole:
        return None
    return Specs(
        units=units,
        fact_groups=link_fact_groups(shapes),
        facts=facts,
        fluids=fluids,
        formulas=formulas,
        functions=functions,
        tables=tables,
        hazards=hazards,
        equipment=equipment,
        rules=rules,
        variables=variables,
        phases=phases,
        jobs=jobs,
        figures=figures,
        readings=readings,
        steps=ordered,
        vehicles=vehicles,
        sources=sources,
    )
