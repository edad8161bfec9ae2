"""Every way to change the records: one verb each, in a transaction that checks, acts and writes the log."""

from __future__ import annotations

from holdback.web.records.hatching_rules import Young
from holdback.web.records.new_ids import offered_ids
from holdback.web.records.services.animals import add_animal, change_animal, remove_animal, rename_animal, set_sex
from holdback.web.records.services.boxes import add_boxes, add_incubator, crowding, put_in_box
from holdback.web.records.services.bulk import Written, write_records
from holdback.web.records.services.closing import Tally, close_clutch, open_clutch_again, set_clutch_aside, tally
from holdback.web.records.services.clutch_corrections import correct_clutch
from holdback.web.records.services.clutches import add_clutch, add_egg, change_clutch, change_egg
from holdback.web.records.services.corrections import correct_parents, correct_sex, correct_tag
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.services.eggs import look_at_eggs, lose_egg
from holdback.web.records.services.evidence import add_claim, add_look
from holdback.web.records.services.genes import change_gene
from holdback.web.records.services.happenings import (
    borrowed,
    co_owned,
    died,
    lent,
    log_event,
    log_meal,
    quarantine,
    returned,
    sold,
)
from holdback.web.records.services.hatching import hatch_eggs
from holdback.web.records.services.holding import hold_back, release
from holdback.web.records.services.laying import lay_clutch
from holdback.web.records.services.line_claims import add_line_claim, change_line_claim, remove_line_claim
from holdback.web.records.services.matings import (
    Locked,
    change_mating,
    log_lock,
    part,
    put_together,
    remove_mating,
)
from holdback.web.records.services.observations import change_observation, remove_observation
from holdback.web.records.services.origins import remove_origin, set_origin
from holdback.web.records.services.own_rules import set_rule
from holdback.web.records.services.parents import set_parents
from holdback.web.records.services.photos import Marked, add_photo, keep_marks, marked_of, put_photo_away
from holdback.web.records.services.places import add_place, move_animal, swap_animals
from holdback.web.records.services.planned import drop_pairing, lock_pairing, plan_pairing
from holdback.web.records.services.plans_kept import keep_plan, plan_last_kept
from holdback.web.records.services.projects import (
    GoalChange,
    accept_caution,
    change_goal,
    give_up_project,
    goal_changes,
    open_project_again,
    reach_project,
    reorder_projects,
    start_project,
    withdraw_caution,
)
from holdback.web.records.services.racks import add_rack, add_tubs, change_place, close_place, open_place_again
from holdback.web.records.services.readings import (
    add_mating,
    add_measurement,
    add_observation,
    change_measurement,
    remove_measurement,
)
from holdback.web.records.services.undo import undo
from holdback.web.records.services.warmth import Logged, log_warmth, log_warmth_table
from holdback.web.records.services.weighing import weigh

__all__ = [
    "Deed",
    "GoalChange",
    "Locked",
    "Logged",
    "Marked",
    "Tally",
    "Written",
    "Young",
    "accept_caution",
    "add_animal",
    "add_boxes",
    "add_claim",
    "add_clutch",
    "add_egg",
    "add_incubator",
    "add_line_claim",
    "add_look",
    "add_mating",
    "add_measurement",
    "add_observation",
    "add_photo",
    "add_place",
    "add_rack",
    "add_tubs",
    "borrowed",
    "change_animal",
    "change_clutch",
    "change_egg",
    "change_gene",
    "change_goal",
    "change_line_claim",
    "change_mating",
    "change_measurement",
    "change_observation",
    "change_place",
    "close_clutch",
    "close_place",
    "co_owned",
    "correct_clutch",
    "correct_parents",
    "correct_sex",
    "correct_tag",
    "crowding",
    "deed",
    "died",
    "drop_pairing",
    "give_up_project",
    "goal_changes",
    "hatch_eggs",
    "hold_back",
    "keep_marks",
    "keep_plan",
    "lay_clutch",
    "lent",
    "lock_pairing",
    "log_event",
    "log_lock",
    "log_meal",
    "log_warmth",
    "log_warmth_table",
    "look_at_eggs",
    "lose_egg",
    "marked_of",
    "move_animal",
    "offered_ids",
    "open_clutch_again",
    "open_place_again",
    "open_project_again",
    "part",
    "plan_last_kept",
    "plan_pairing",
    "put_in_box",
    "put_photo_away",
    "put_together",
    "quarantine",
    "reach_project",
    "release",
    "remove_animal",
    "remove_line_claim",
    "remove_mating",
    "remove_measurement",
    "remove_observation",
    "remove_origin",
    "rename_animal",
    "reorder_projects",
    "returned",
    "set_clutch_aside",
    "set_origin",
    "set_parents",
    "set_rule",
    "set_sex",
    "sold",
    "start_project",
    "swap_animals",
    "tally",
    "undo",
    "weigh",
    "withdraw_caution",
    "write_records",
]
