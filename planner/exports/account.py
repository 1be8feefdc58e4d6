"""The account of stock for a plan: wanted, there, coming, and who goes without."""

from __future__ import annotations

from planner.catalogue import techniques_with
from planner.estimate import operations
from planner.model import Project
from planner.network import Network, build_network
from planner.occasions import dated_occasions
from planner.other_ways import other_ways
from planner.plan import Plan, PlannedStep
from planner.standing import standings
from planner.stock import StockLine, serve
from planner.stock_report import StockReport, stock_reports
from planner.timeline import to_clock


def stock_account(project: Project, plan: Plan) -> tuple[StockLine, ...]:
    """Every stock in the order of the files, served as the plan's dates say."""
    known = techniques_with(project.techniques)
    found = [op for one in project.ensembles for op in operations(one, known, plan.pace)]
    by_id = {op.id: op for op in found}
    network = build_network(project.ensembles, by_id)
    occasions = dated_occasions(network.occasions, _during(network), by_id, plan.now)
    stand = standings(network, occasions, project.diary.entries)
    wanted = {
        step.id: to_clock(step.latest) if step.latest is not None else None
        for step in plan.steps
        if _wants_stock(step)
    }
    return serve(network, project.ensembles, project.diary.entries, stand, wanted)


def _wants_stock(step: PlannedStep) -> bool:
    """Open, and planned or done at an occasion."""
    return not (step.done or step.left_off) and (step.wanted or step.during is not None)


def _during(network: Network) -> dict[str, list[str]]:
    """The steps done at each occasion."""
    found: dict[str, list[str]] = {}
    for name, node in network.nodes.items():
        if node.during is not None:
            found.setdefault(node.during, []).append(name)
    return found


def stock_reports_of(project: Project, plan: Plan) -> tuple[StockReport, ...]:
    """Every stock in the order of the files, with all that follows from the plan's days."""
    account = stock_account(project, plan)
    users = {user.step for line in account if _runs_out(line) for user in line.users}
    return stock_reports(plan, account, other_ways(project, users, plan.pace) if users else {})


def _runs_out(line: StockLine) -> bool:
    """Whether anyone goes without."""
    return any(user.lacking for user in line.users)
