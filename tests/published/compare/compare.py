"""Compares a table as a generator makes it today with the committed one.

Words must be the same. A number may differ by one in the last digit that the committed
table prints: libraries of another build round otherwise.
"""

import csv
import decimal
import sys


def number(cell):
    try:
        value = decimal.Decimal(cell)
    except decimal.InvalidOperation:
        return None
    return value if value.is_finite() else None


def same(fresh, committed):
    """Whether two cells say the same; a cell may hold several words."""
    if fresh == committed:
        return True
    words = fresh.split(), committed.split()
    if len(words[0]) != len(words[1]):
        return False
    for now, then in zip(*words):
        if now == then:
            continue
        a, b = number(now), number(then)
        if a is None or b is None:
            return False
        if abs(a - b) > decimal.Decimal(1).scaleb(b.as_tuple().exponent):
            return False
    return True


def rows(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.reader(file))


def main():
    fresh, committed = rows(sys.argv[1]), rows(sys.argv[2])
    wrong = []
    if len(fresh) != len(committed):
        wrong.append(f"{len(fresh)} rows are made, {len(committed)} are committed")
    for line, (now, then) in enumerate(zip(fresh, committed), 1):
        if len(now) != len(then) or not all(map(same, now, then)):
            wrong.append(f"row {line}: made {now}, committed {then}")
    for one in wrong[:20]:
        print(f"{sys.argv[2]}: {one}", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
