"""The words by which a sentence is known as an instruction."""

from __future__ import annotations


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# What a technician is told to do. Verbs that are also names of things ('ground', 'plug', 'lock') stand apart below.
_PLAIN = """
    add adjust align allow apply ask assemble attach avoid back-probe be begin bend bleed block bring bypass
    calibrate call capture carry charge check chock choose clamp clean clear click close collect command compare
    compress configure confirm connect continue copy correct count cover crank create crimp cut cycle decide deflate
    degrease deplete depress describe detach determine discard discharge disconnect dispose divide do drain draw
    drill dry earth empty enable engage ensure enter erase examine exchange expect fasten feel fill find finish fit
    fix flex flush fold follow free get give go grease hand hang have heat hold hook identify ignore increase
    inflate inform insert inspect install insulate interpret isolate jack keep label learn leave let lift limit
    listen load locate look loosen lower lubricate make mask measure mind mount move multiply note obey observe
    obtain open operate order park perform pinch place point position pour prepare press prevent proceed program
    prove pull pump push put raise reach read rebuild recalibrate recharge recheck reconnect record recover reduce
    refer refill refit refuel reinstall relearn release remember remove renew repair repeat replace report reprogram
    request reroute reseat reset restart restore retighten return reuse rev rewire rinse rotate route rub run scrape
    seal seat secure see select send separate service set shake share shield shift shine shorten show shut simulate
    slacken slide slip solder spin splice spray squeeze stand start state stay stop store stow straighten strip
    substitute subtract supply support swap switch take tap teach tell test thread tie tighten tilt top touch trace
    track transfer treat trigger trim try tug turn twist type unbolt uncover undo unfold unhook unlock unplug
    unscrew unwind update use vacuum vent ventilate verify view wait walk warm warn wash watch wear weigh wiggle
    wind wipe work wrap write zero
"""
# Verbs that name a thing as well: as a second verb only where an object follows that no thing takes ('plug it in').
_DOUBLE = """
    block bolt bridge clamp cover crank cycle drain drive drop feed fuse ground hook jumper label lamp limit load
    lock mark mask mount order park pin place plug point position probe program record report request route scan
    screen screw seal seat service set share shield shift signal splice spring stamp start store supply support
    switch tag tape test thread tool track trigger turn type vent view watch work
"""

DOUBLE = _words(_DOUBLE)
IMPERATIVES = _words(_PLAIN) | DOUBLE

# What is done at the same time as the action before it, or is the end of it: 'move the harness and watch the value'.
# ASD-STE100 5.2 lets actions that go together share a sentence.
ALONGSIDE = _words("compare count feel hold keep listen look note observe record wait watch write")

# Words after which the command follows, with or without a comma: conditions, places, times, manners.
LEADS = _words("""
    after along as at before below between beyond by during for from if in inside near on once over through to under
    unless until using when where while with within without
""")
BEFORE_A_VERB = _words("""
    again also always carefully finally first gently immediately next now only otherwise slowly then
""")

# A word that begins a statement or a list of things, never a command.
NO_VERBS = _words("""
    a all an any anybody anyone both each either every everybody he her his i it its many most my neither nobody none
    nothing one our she some somebody such that the their there these they this those we what which who you your
""")

# A word that begins the object of a verb.
OBJECTS = _words("""
    a all an another any both each either every everything it its no one only some that the their them these this those
    your
""")
PARTICLES = _words("away back down in off on out over up")

# Where the main clause ends.
SUBORDINATE = _words("""
    although as because before if since so that though unless until when where whether which while who
""")
