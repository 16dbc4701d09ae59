//! The fields of the tables: one list that the reader, the reference and the editor definitions share.

/// One field of an item's table.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// The word whose table it stands in.
    pub item: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Its type, in the words of the editor definitions.
    pub kind: &'static str,
    /// Whether it must be there.
    pub needed: bool,
    /// What it says.
    pub says: &'static str,
}

macro_rules! fields {
    ($($item:ident { $($name:ident $($need:ident)? : $kind:literal, $says:literal;)* })*) => {
        &[$($(Field {
            item: stringify!($item),
            name: stringify!($name),
            kind: $kind,
            needed: false $(|| { let $need = true; $need })?,
            says: $says,
        },)*)*]
    };
}

/// Every field, in the order in which the reference tells them.
pub static FIELDS: &[Field] = fields! {
    exercise {
        title needed: "string", "Title for people.";
        plant needed: "string", "The plant's short name.";
        start needed: "string", "The prepared state that the run starts from, such as \"cold\".";
        lasts needed: "string", "How long the run lasts at most: \"80 min\".";
        changes: "table<string, string>", "Controls set otherwise than in the prepared state: { [\"P-3001\"] = \"start\" }.";
        brief: "string", "What the trainee is told before the run.";
        trends: "string[]", "Instruments whose trends the debrief draws.";
        pass: "number", "Marks needed to pass.";
        out_of: "number", "Marks of all items together, as you counted them: check tells when they do not add up.";
    }
    fault {
        on needed: "string", "The component, instrument, lamp, gauge or alarm.";
        kind needed: "string", "What goes wrong: a kind of the fault table.";
        size: "string", "How big, with a unit: \"40 % open\".";
        at: "string|string[]", "Begins at this time of the run; with two times, at random between them from the run's seed.";
        when: "Condition", "Begins when this first holds.";
        after: "[Condition, string]", "Begins so long after a condition first held: { condition, \"30 s\" }.";
        grows_over: "string", "Grows from nothing to its size over so long. Left out: all of it at once.";
        there_for: "string|string[]", "Comes and goes: there for so long each time, from its beginning on; with two times, at random between them from the run's seed.";
        away_for: "string|string[]", "Comes and goes: away for so long each time; with two times, at random between them from the run's seed.";
        lasts: "string", "Clears by itself so long after it began.";
        clears_at: "string", "Clears at this time of the run.";
        clears_when: "Condition", "Clears when this first holds.";
        repaired_in: "string", "Clears when the helper was asked to repair it and has worked at it for so long. Left out: the helper cannot repair it.";
    }
    step {
        marks needed: "number", "Marks that can be earned, with at most two decimals.";
        done needed: "Condition", "What must come true.";
        after: "string|string[]", "Names of steps that come first.";
        full_by: "string", "Full marks up to this time of the run.";
        none_by: "string", "No marks from this time of the run on; a straight line between.";
        out_of_order: "number", "Part of the marks, from 0 to 1, when it was done before a step that comes first. Left out: 0.5.";
        none_short: "Quantity", "When it was not done: how far short of it loses everything, \"10 % open\"; a straight line. Left out: being near earns nothing.";
        critical: "boolean", "Losing it decides the run.";
        optional: "boolean", "Nobody is asked for it; whoever tries it is marked on it.";
        bonus: "boolean", "It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.";
        instead_of: "string", "Name of an item in whose place it may stand, with the same marks: the better one counts.";
        group: "string", "Name of the group it belongs to; its marks are then its weight there.";
        expected: "string", "What the trainee should have done, for people. Left out: the condition in words.";
        practise: "string", "What to practise when marks were lost.";
        competence: "string|string[]", "What the item shows of a trainee: references to the STCW Code as the book lists them.";
    }
    limit {
        marks needed: "number", "Marks that can be earned, with at most two decimals.";
        keep needed: "Condition", "What must hold.";
        during: "Condition", "Only while this holds. Left out: the whole run.";
        none_beyond: "Quantity", "How far past the limit loses everything: \"10 K\".";
        none_after: "string", "How long past the limit, in total, loses everything: \"2 min\".";
        critical: "boolean", "Losing it decides the run.";
        optional: "boolean", "Nobody is asked for it; whoever tries it is marked on it.";
        bonus: "boolean", "It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.";
        instead_of: "string", "Name of an item in whose place it may stand, with the same marks: the better one counts.";
        group: "string", "Name of the group it belongs to; its marks are then its weight there.";
        expected: "string", "What the trainee should have kept, for people. Left out: the condition in words.";
        practise: "string", "What to practise when marks were lost.";
        competence: "string|string[]", "What the item shows of a trainee: references to the STCW Code as the book lists them.";
    }
    response {
        to needed: "string", "Name of the fault.";
        marks needed: "number", "Marks that can be earned, with at most two decimals.";
        by needed: "Condition", "What answers the fault.";
        full needed: "string", "Full marks up to this long after the fault's onset.";
        none needed: "string", "No marks from this long after the fault's onset; a straight line between.";
        critical: "boolean", "Losing it decides the run.";
        optional: "boolean", "Nobody is asked for it; whoever tries it is marked on it.";
        bonus: "boolean", "It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.";
        instead_of: "string", "Name of an item in whose place it may stand, with the same marks: the better one counts.";
        group: "string", "Name of the group it belongs to; its marks are then its weight there.";
        expected: "string", "What the trainee should have done, for people. Left out: the condition in words.";
        practise: "string", "What to practise when marks were lost.";
        competence: "string|string[]", "What the item shows of a trainee: references to the STCW Code as the book lists them.";
    }
    order {
        marks needed: "number", "Marks that can be earned, with at most two decimals.";
        steps needed: "string[]", "Names of the steps, at least two. Their order is that of their own after.";
        wrong: "Condition", "What should not be done: each time it comes true is a departure.";
        none_at: "integer", "No marks from so many departures on. Left out: as many as there are steps.";
        critical: "boolean", "Losing it decides the run.";
        optional: "boolean", "Nobody is asked for it; whoever tries it is marked on it.";
        bonus: "boolean", "It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.";
        instead_of: "string", "Name of an item in whose place it may stand, with the same marks: the better one counts.";
        group: "string", "Name of the group it belongs to; its marks are then its weight there.";
        expected: "string", "What the trainee should have done, for people. Left out: told from the fields.";
        practise: "string", "What to practise when marks were lost.";
        competence: "string|string[]", "What the item shows of a trainee: references to the STCW Code as the book lists them.";
    }
    steadiness {
        marks needed: "number", "Marks that can be earned, with at most two decimals.";
        value needed: "Value", "What is held.";
        around needed: "Quantity", "Where it should be.";
        full_within needed: "Quantity", "Full marks up to this far off on average.";
        none_beyond needed: "Quantity", "No marks from this far off on average; a straight line between.";
        during: "Condition", "Only while this holds. Left out: the whole run.";
        critical: "boolean", "Losing it decides the run.";
        optional: "boolean", "Nobody is asked for it; whoever tries it is marked on it.";
        bonus: "boolean", "It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.";
        instead_of: "string", "Name of an item in whose place it may stand, with the same marks: the better one counts.";
        group: "string", "Name of the group it belongs to; its marks are then its weight there.";
        expected: "string", "What the trainee should have done, for people. Left out: told from the fields.";
        practise: "string", "What to practise when marks were lost.";
        competence: "string|string[]", "What the item shows of a trainee: references to the STCW Code as the book lists them.";
    }
    finding {
        marks needed: "number", "Marks that can be earned, with at most two decimals.";
        faults: "string|string[]", "Names of the faults. Left out: all of the exercise.";
        right_equipment: "number", "Part of a fault's marks, from 0 to 1, for its equipment without its kind. Left out: 0.5.";
        guess: "number", "Part of all the marks, from 0 to 1, that a report of sound equipment costs. Left out: 0.25.";
        critical: "boolean", "Losing it decides the run.";
        optional: "boolean", "Nobody is asked for it; whoever tries it is marked on it.";
        bonus: "boolean", "It comes on top: it makes good for marks lost elsewhere, and never goes past the whole.";
        instead_of: "string", "Name of an item in whose place it may stand, with the same marks: the better one counts.";
        group: "string", "Name of the group it belongs to; its marks are then its weight there.";
        expected: "string", "What the trainee should have done, for people. Left out: told from the fields.";
        practise: "string", "What to practise when marks were lost.";
        competence: "string|string[]", "What the item shows of a trainee: references to the STCW Code as the book lists them.";
    }
    group {
        marks needed: "number", "Marks of all its items together.";
    }
};
