"""The question sequence as a value: what it asks, what it takes from replies, when it stops."""

from __future__ import annotations

import time
from functools import cache

import numpy as np
import pytest

from diagnose.knowledge.asking import read_asking
from diagnose.knowledge.store import default_folder
from diagnose.model.asking import OPENING, Circumstance, Reply
from diagnose.model.facts import Case, Habit, Origin, PlantContext, SeenSign, State
from diagnose.model.knowledge import Question
from diagnose.reason.circumstances import Circumstances, is_known, with_answers
from diagnose.reason.interview import Interview, Interviewer, Stop
from diagnose.reason.questions import answer_chances, bits_told
from diagnose.reason.standing import stand
from tests.own import own_base, own_rulebook
from tests.small import DATE, case, small_base, small_folder, small_rulebook


@cache
def small() -> Interviewer:
    """Asks from the small invented rule base."""
    return Interviewer(small_rulebook(), read_asking(small_base(), small_folder()))


@cache
def own() -> Interviewer:
    """Asks from the project's rule base."""
    return Interviewer(own_rulebook(), read_asking(own_base(), default_folder()))


def begun(*signs: str, facts: Case | None = None) -> Interview:
    """An interview that begins with signs picked."""
    return Interview(facts or Case(date=DATE), (Reply(OPENING, signs),) if signs else ())


def states(interviewer: Interviewer, interview: Interview) -> dict[str, State]:
    """What is known of each sign."""
    return {seen.sign: seen.state for seen in interviewer.case(interview).signs}


def test_one_chosen_answer_settles_every_sign_of_its_question() -> None:
    """Chosen signs are there, what they imply is left to them, the others are not there."""
    told = states(small(), begun("moss_limp").answer(Reply("moss_colour", ("Brown at the tips only",))))
    assert told == {"moss_limp": State.PRESENT, "moss_brown_tips": State.PRESENT, "moss_slimy": State.ABSENT}


def test_a_healthy_answer_denies_every_sign_of_its_question() -> None:
    """Green moss is neither brown nor slimy."""
    told = states(small(), begun("moss_limp").answer(Reply("moss_colour", ("Green",))))
    assert [told[sign] for sign in ("moss_brown", "moss_brown_tips", "moss_slimy")] == [State.ABSENT] * 3


def test_several_answers_add_to_what_was_known() -> None:
    """Where several may be true, what was seen before stays seen though it is not chosen again."""
    told = states(small(), begun("glass_fogged").answer(Reply("jar_glass", ("Fine threads",))))
    assert told == {"glass_fogged": State.PRESENT, "web_fine": State.PRESENT}


def test_a_skipped_question_tells_nothing_and_costs_nothing() -> None:
    """It is not asked again, does not count, and leaves the belief as it was."""
    before = begun("moss_limp")
    after = before.answer(Reply("jar_glass"))
    assert after.answered_count == 0
    assert "jar_glass" in after.asked
    assert np.array_equal(small().stand(before).probability, small().stand(after).probability)
    step = small().step(after)
    assert step.ask is None or step.ask.question.id != "jar_glass"


def test_back_undoes_the_last_reply_and_nothing_else() -> None:
    """Interviews are values: going back gives the interview that was."""
    before = begun("moss_limp")
    assert before.answer(Reply("moss_colour", ("Green",))).back() == before
    assert Interview(Case(date=DATE)).back() == Interview(Case(date=DATE))


def test_what_is_known_is_never_asked() -> None:
    """No question of which every sign is settled, and no circumstance that letter, records or form tell."""
    facts = case(["moss_limp"], ["glass_fogged", "web_fine"], group="tall_moss", habits=[("lid_open", True)])
    asked = {candidate.question.id for candidate in small().ranked(Interview(facts), small().stand(Interview(facts)))}
    assert "moss_colour" in asked
    assert asked.isdisjoint({"moss_firmness", "jar_glass", "moss_kind", "lid"})


def test_records_answer_what_they_log() -> None:
    """A circumstance that logs tell is known where there are records, others are not."""
    asking = own().asking.circumstances
    recorded = Case(date=DATE, has_records=True)
    assert is_known(recorded, asking["watering"])
    assert not is_known(recorded, asking["fumes"])
    assert not is_known(Case(date=DATE), asking["watering"])


def test_a_sign_implied_by_one_that_is_there_is_not_asked() -> None:
    """Spots with a yellow edge are dark spots: the answer is not offered."""
    interview = begun("moss_brown_tips")
    question = small_base().questions["moss_colour"]
    assert "Brown all over" not in small().open_answers(question, small().stand(interview))


def test_a_circumstance_fills_in_the_plant_and_denies_the_other_habits() -> None:
    """What was not chosen is told to be otherwise; reservoir is yes or no, not a word."""
    asking = own().asking.circumstances
    told = with_answers(Case(date=DATE), asking["fumes"], (asking["fumes"].answers[0],))
    assert {(habit.habit, habit.holds) for habit in told.habits} == {
        ("fruit_near", True), ("gas_or_smoke", False), ("paint_or_solvent", False)}
    pot = asking["pot_kind"]
    chosen = next(answer for answer in pot.answers if "reservoir" in answer.plant)
    assert with_answers(Case(date=DATE), pot, (chosen,)).plant.reservoir is True


def test_weighing_a_circumstance_fires_the_same_rules_as_the_library() -> None:
    """For every answer, what the plain reading of the touched rules fires is what chaining afresh would fire."""
    facts = Case(date=DATE, plant=PlantContext(hemisphere="north"),
                 signs=(SeenSign("buds_drop", State.PRESENT, Origin.ANSWER),),
                 habits=(Habit("heating_on", Origin.LETTER, certainty=0.7),))
    standing, rulebook = stand(own_rulebook(), facts), own_rulebook()
    circumstances = Circumstances(rulebook, own().asking)
    for question in own().asking.circumstances.values():
        for answer in question.answers if not is_known(facts, question) else ():
            found = {(firing.rule, firing.certainty) for firing in circumstances.firings(question, answer, standing)
                     if firing.gives or firing.rule in rulebook.shifts}
            afresh = {(firing.rule, firing.certainty)
                      for firing in stand(rulebook, with_answers(facts, question, (answer,))).firings
                      if firing.gives or firing.rule in rulebook.shifts}
            assert found == afresh, (question.id, answer.say)


def test_bits_told_by_hand() -> None:
    """A coin that shows which of two equal hypotheses holds tells 1 bit, one that shows nothing 0 (by hand)."""
    weight = np.array([0.5, 0.5])
    told = bits_told(weight, [np.eye(2), np.full((2, 2), 0.5), np.array([[0.9, 0.1], [0.1, 0.9]])])
    assert told[:2] == pytest.approx([1.0, 0.0])
    assert told[2] == pytest.approx(1.0 + 0.9 * np.log2(0.9) + 0.1 * np.log2(0.1))  # 1 - H(0.1), by hand


def test_chances_of_exclusive_answers_add_up_to_at_most_one() -> None:
    """Of answers that exclude each other no more than one comes."""
    interview = begun("moss_limp")
    chances = answer_chances(small_rulebook(), small().stand(interview), small_base().questions["moss_colour"])
    assert set(chances) == {"Brown at the tips only", "Brown all over", "Dark and slimy", "Green"}
    assert 0.0 < sum(chances.values()) <= 1.0 + 1e-9


def test_the_kind_of_plant_is_asked_first_if_it_matters() -> None:
    """Bare bulbs are rest in some groups and trouble in others; a torn leaf is the same in all. Never if known."""
    assert _first("bulb_leafless") == "plant_group"
    assert _first("leaf_torn_or_scarred") != "plant_group"
    known = Case(date=DATE, plant=PlantContext(group="lycaste", stage="resting", medium="bark"))
    assert not _first("bulb_leafless", known).startswith("plant_")


def _first(sign: str, facts: Case | None = None) -> str:
    interview = begun(sign, facts=facts)
    return own().ranked(interview, own().stand(interview))[0].question.id


def test_the_question_asked_is_the_one_most_worth_its_effort() -> None:
    """Candidates come in the order of bits per effort, and the first is asked."""
    interview = begun("leaf_limp")
    step = own().step(interview)
    ranked = own().ranked(interview, step.standing)
    assert [c.worth for c in ranked] == sorted((c.worth for c in ranked), reverse=True)
    assert step.ask is not None
    assert step.ask.question.id == ranked[0].question.id


def test_it_stops_when_one_cause_is_clear() -> None:
    """Aphids seen are aphids."""
    assert own().step(begun("pest_aphids_seen", "pest_cast_skins")).stop is Stop.ONE


def test_it_stops_when_several_causes_are_clear_together() -> None:
    """Aphids and a slug do not exclude each other; both are named."""
    step = own().step(begun("pest_aphids_seen", "pest_cast_skins", "slug_or_snail_seen", "slime_trails"))
    assert step.stop is Stop.SET
    assert {own_rulebook().causes[n] for n in step.standing.best} >= {"aphid", "slug_or_snail"}


def test_it_stops_after_seven_answers() -> None:
    """Skipped ones not counted, seven answers are the most, whatever is still open."""
    interview = begun("plant_declining")
    while (step := own().step(interview)).ask is not None:
        question = step.ask.question
        if isinstance(question, Circumstance) or len(interview.replies) == 2:
            interview = interview.answer(Reply(question.id))
            continue
        healthy = [answer.say for answer in question.answers if answer.healthy]
        interview = interview.answer(Reply(question.id, tuple(healthy[:1])))
    assert interview.answered_count <= 7
    assert step.stop in (Stop.ENOUGH, Stop.NOTHING_WORTH)


def test_a_bare_start_asks_without_any_complaint() -> None:
    """With nothing seen there is no cause to name, but there is a question to ask."""
    step = own().step(Interview(Case(date=DATE)))
    assert step.stop is None
    assert step.ask is not None
    assert not step.standing.observed.present


def test_it_stops_where_no_question_is_worth_its_effort() -> None:
    """With everything asked or skipped nothing is left."""
    interview = begun("moss_limp")
    for name in (*small_base().questions, *small().asking.circumstances):
        interview = interview.answer(Reply(name))
    assert small().step(interview).stop is Stop.NOTHING_WORTH


def test_a_destructive_look_is_asked_only_if_it_would_change_what_to_do() -> None:
    """Cutting open is never asked where each answer leaves the same cause in the lead."""
    for sign in ("buds_drop", "leaf_limp", "roots_few", "new_growth_stalled", "bulb_shrivelled"):
        interview = begun(sign)
        while (step := own().step(interview)).ask is not None:
            question = step.ask.question
            if isinstance(question, Question) and question.effort in ("unpot", "cut"):
                leader = int(np.argmax(step.standing.probability))
                effects = own().effects(interview, step.standing, question)
                assert any(effect.leader != leader for effect in effects), (sign, question.id)
            interview = interview.answer(Reply(question.id))


def test_effects_say_what_each_answer_would_change() -> None:
    """The leader after each answer, with its probability then and now, as answering would give them."""
    interview = begun("moss_limp")
    standing = small().stand(interview)
    question = small_base().questions["jar_glass"]
    effects = small().effects(interview, standing, question)
    assert [effect.say for effect in effects] == ["Fog", "Fine threads", "Nothing"]
    after = small().stand(interview.answer(Reply("jar_glass", ("Fog",))))
    assert small_rulebook().causes[effects[0].leader] == "jar_too_wet"
    assert effects[0].probability == pytest.approx(float(after.probability.max()))
    assert effects[0].now == pytest.approx(float(standing.probability[effects[0].leader]))


def test_an_answer_against_the_letter_is_noticed_and_counts() -> None:
    """The letter said slimy, the answer says green: both are told, and the later counts."""
    letter = Case(date=DATE, signs=(SeenSign("moss_slimy", State.PRESENT, Origin.LETTER, "slimy", 0, 5),))
    interview = Interview(letter).answer(Reply("moss_colour", ("Green",)))
    found = small().step(interview).contradictions
    assert [(pair.earlier, pair.later) for pair in found] == [("Slimy moss", "not: Slimy moss")]
    assert states(small(), interview)["moss_slimy"] is State.ABSENT


def test_two_answers_that_clash_are_noticed_with_the_reason() -> None:
    """Slimy and dry at the tips cannot both be; it is said once, when the second comes."""
    interview = begun("moss_slimy").answer(Reply("moss_colour", ("Brown at the tips only", "Dark and slimy")))
    found = small().step(interview).contradictions
    assert [pair.why for pair in found] == ["Moss cannot be dry at the tips and drowned at once."]
    assert small().step(interview.answer(Reply("jar_floor", ("Only soil",)))).contradictions == ()


def test_a_form_of_something_denied_is_noticed() -> None:
    """Brown tips are brown moss; whoever denies the one cannot mean the other."""
    denied = Case(date=DATE, signs=(SeenSign("moss_brown", State.ABSENT, Origin.LETTER, "not brown", 0, 9),))
    found = small().step(begun("moss_brown_tips", facts=denied)).contradictions
    assert [pair.why for pair in found] == ["The first is a form of the second."]


def test_contradictions_within_the_start_are_noticed() -> None:
    """A letter or a file of answers may clash with itself."""
    assert len(small().step(Interview(case(["moss_slimy", "moss_brown_tips"]))).contradictions) == 1


def test_one_wrong_answer_does_not_sink_the_truth() -> None:
    """Three signs of mealybugs outweigh a slip that denies the sticky film."""
    signs = ("pest_cottony_white", "ants_present", "leaf_yellow_many")
    interview = begun(*signs).answer(Reply("leaf_film", (_healthy("leaf_film"),)))
    standing = own().stand(interview)
    assert own_rulebook().causes[int(np.argmax(standing.probability))] == "mealybug"
    assert standing.probability.max() > 0.3


def _healthy(question: str) -> str:
    return next(answer.say for answer in own_base().questions[question].answers if answer.healthy)


def test_a_question_counts_as_one_remark_however_many_signs_it_settles() -> None:
    """Damping counts questions: an answer that denies six signs damps no more than one that denies one."""
    few = begun("pest_cottony_white")
    many = few
    for name in ("leaf_film", "insects_moving", "leaf_relief"):
        many = many.answer(Reply(name, (_healthy(name),)))
    standing = own().stand(many)
    number = own_rulebook().cause_number["mealybug"]
    assert standing.probability[number] == pytest.approx(float(standing.belief.accounts[number]))


def test_nobody_waits_for_a_question() -> None:
    """On the whole rule base, the median of processor time over twenty beginnings; a bound for slow machines too."""
    signs = sorted(own_base().signs)[::7][:20]
    own().step(begun(signs[0]))
    taken = []
    for sign in signs:
        start = time.process_time()
        own().step(begun(sign))
        taken.append(time.process_time() - start)
    assert sorted(taken)[len(taken) // 2] < 0.2
