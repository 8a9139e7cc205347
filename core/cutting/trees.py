"""A sheet as a tree: a leaf is a part, an inner node lays its children in a row or in a stack, and its size is tight around them.

What lies beside or above a child stays open without being named, so that taking a part out lets its neighbours grow at once, and
whatever tree there is can be sawn from edge to edge. Nodes are tuples, for speed:

    (length, width, lie, children, area, leaves, depth)

lie: ROW (children side by side along the length), STACK (along the width) or LEAF (children is then the kind of part). Trees are
never changed in place; a change makes new nodes along one path only. Children stand largest first across the lie.
"""

from __future__ import annotations

from operator import itemgetter

ROW, STACK, LEAF = 0, 1, 2
LENGTH, WIDTH, LIE, CHILDREN, AREA, LEAVES, DEPTH = range(7)
NO_LIMIT = 1 << 30

_ACROSS = (itemgetter(WIDTH), itemgetter(LENGTH))
# kinds of place: an empty room; beside everything in the node (0 and up: beside the children from there on)
WHOLE_ROOM, ALONGSIDE = -2, -1


def leaf(kind: int, length: int, width: int) -> tuple:
    """One part."""
    return (length, width, LEAF, kind, length * width, 1, 0)


def joined(lie: int, children: list) -> tuple:
    """Children in a row or stack; those that lie the same way are taken into it."""
    if len(children) == 1:
        return children[0]
    flat = []
    for child in children:
        if child[2] == lie:
            flat += child[3]
        else:
            flat.append(child)
    length = width = area = leaves = depth = 0
    if lie == ROW:
        flat.sort(key=_ACROSS[0], reverse=True)
        for child in flat:
            length += child[0]
            area += child[4]
            leaves += child[5]
            if child[6] > depth:
                depth = child[6]
        width = flat[0][1]
    else:
        flat.sort(key=_ACROSS[1], reverse=True)
        for child in flat:
            width += child[1]
            area += child[4]
            leaves += child[5]
            if child[6] > depth:
                depth = child[6]
        length = flat[0][0]
    return (length, width, lie, flat, area, leaves, depth + 1)


def exchanged(parent: tuple, at: int, child: tuple) -> tuple:
    """The parent with another child in the place of this one; faster than joining all of them anew."""
    children, lie = parent[3].copy(), parent[2]
    old = children[at]
    children[at] = child
    if child[2] == lie:
        return joined(lie, children)
    deepest = parent[6] - 1
    if child[6] >= deepest:
        deepest = child[6]
    elif old[6] == deepest:
        deepest = max([each[6] for each in children])
    area, leaves = parent[4] - old[4] + child[4], parent[5] - old[5] + child[5]
    if lie == ROW:
        children.sort(key=_ACROSS[0], reverse=True)
        return (parent[0] - old[0] + child[0], children[0][1], lie, children, area, leaves, deepest + 1)
    children.sort(key=_ACROSS[1], reverse=True)
    return (children[0][0], parent[1] - old[1] + child[1], lie, children, area, leaves, deepest + 1)


def kinds_in(node: tuple | None) -> list[int]:
    """The kinds of all leaves, each as often as it occurs."""
    found: list[int] = []
    waiting = [node] if node is not None else []
    while waiting:
        node = waiting.pop()
        if node[2] == LEAF:
            found.append(node[3])
        else:
            waiting += node[3]
    return found


def places(
    node: tuple | None, length: int, width: int, least: int, smallest: int, limit: int = NO_LIMIT
) -> list[tuple]:
    """Every place in a room of this size where a part might be added whose small side is at least `least` and whose
    area is at least `smallest`.

    A place is (free along, free across, base along, base across, lie, path, from): `along` is the direction in which the
    part would stand beside what is there, `lie` that direction, `path` the linked child numbers, deepest first.
    """
    if node is None:
        return [(length, width, 0, 0, ROW, None, WHOLE_ROOM)] if length >= least and width >= least else []
    found: list[tuple] = []
    if length * width - node[4] < smallest:
        return found
    _collect(node, length, width, least, smallest, limit, None, found)
    lie = node[2]
    # Beside the whole, in the other direction; a single part may be joined either way.
    if lie != ROW and length - node[0] >= least and (length - node[0]) * width >= smallest and node[6] < limit:
        found.append((length - node[0], width, node[0], node[1], ROW, None, ALONGSIDE))
    if lie != STACK and width - node[1] >= least and (width - node[1]) * length >= smallest and node[6] < limit:
        found.append((width - node[1], length, node[1], node[0], STACK, None, ALONGSIDE))
    return found


def _collect(
    node: tuple, length: int, width: int, least: int, smallest: int, limit: int, path: tuple | None, found: list
) -> None:
    """Add the places inside a node that may grow to length × width; `limit` is the depth still allowed from here."""
    own_length, own_width, lie, children = node[0], node[1], node[2], node[3]
    if lie == ROW:
        spare = length - own_length
        if spare >= least and spare * width >= smallest:
            found.append((spare, width, own_length, own_width, ROW, path, ALONGSIDE))
        if limit < 2:
            return
        last, run = len(children) - 1, 0
        for at in range(last, -1, -1):
            child = children[at]
            free = width - child[1]
            if child[2] == LEAF:
                if free >= least and free * (child[0] + spare) >= smallest:
                    found.append((free, child[0] + spare, child[1], child[0], STACK, (at, path), ALONGSIDE))
            elif (child[0] + spare) * width - child[4] >= smallest:
                _collect(child, child[0] + spare, width, least, smallest, limit - 1, (at, path), found)
            run += child[0]
            if at and at < last and free >= least and free * (run + spare) >= smallest and limit >= node[6] + 2:
                found.append((free, run + spare, child[1], run, STACK, path, at))
    elif lie == STACK:
        spare = width - own_width
        if spare >= least and spare * length >= smallest:
            found.append((spare, length, own_width, own_length, STACK, path, ALONGSIDE))
        if limit < 2:
            return
        last, run = len(children) - 1, 0
        for at in range(last, -1, -1):
            child = children[at]
            free = length - child[0]
            if child[2] == LEAF:
                if free >= least and free * (child[1] + spare) >= smallest:
                    found.append((free, child[1] + spare, child[0], child[1], ROW, (at, path), ALONGSIDE))
            elif (child[1] + spare) * length - child[4] >= smallest:
                _collect(child, length, child[1] + spare, least, smallest, limit - 1, (at, path), found)
            run += child[1]
            if at and at < last and free >= least and free * (run + spare) >= smallest and limit >= node[6] + 2:
                found.append((free, run + spare, child[0], run, ROW, path, at))


def added(node: tuple | None, place: tuple, part: tuple) -> tuple:
    """The tree with a part put into one of its places."""
    lie, path, start = place[4], place[5], place[6]
    if start == WHOLE_ROOM:
        return part
    steps = []
    while path is not None:
        steps.append(path[0])
        path = path[1]
    above = []
    for at in reversed(steps):
        above.append((node, at))
        node = node[3][at]
    if start == ALONGSIDE:
        node = joined(lie, [node, part])
    else:
        children = node[3]
        node = joined(node[2], [*children[:start], joined(lie, [joined(node[2], children[start:]), part])])
    for parent, at in reversed(above):
        node = exchanged(parent, at, node)
    return node


def without(node: tuple, number: int, share: float) -> tuple[tuple | None, tuple]:
    """The tree without its leaf of this number (in order), and what was taken off.

    A group of at most three leaves on the way is taken off whole if `share` is above a half.
    """
    if node[2] == LEAF or (share > 0.5 and node[5] <= 3):
        return None, node
    children = node[3]
    at = 0
    while number >= children[at][5]:
        number -= children[at][5]
        at += 1
    rest, taken = without(children[at], number, share)
    if rest is not None:
        return exchanged(node, at, rest), taken
    left = children.copy()
    del left[at]
    return joined(node[2], left), taken


def replaced(node: tuple, steps: list[int], fresh: tuple | None) -> tuple | None:
    """The tree with the node at the end of the steps exchanged, or left out."""
    if not steps:
        return fresh
    above = []
    for at in steps:
        above.append((node, at))
        node = node[3][at]
    node = fresh
    for parent, at in reversed(above):
        if node is not None:
            node = exchanged(parent, at, node)
            continue
        children = parent[3].copy()
        del children[at]
        if children:
            node = joined(parent[2], children)
    return node
