"""Writes agreement.csv: tables of judgements with what two general-purpose statistics libraries make of them.

    pip install scikit-learn==1.9.1 statsmodels==0.15.0
    python tests/published/agreement.py > tests/published/agreement.csv

Cohen's kappa, plain and with linear weights, is asked of both libraries, which have to agree; Fleiss' kappa of statsmodels.
A figure that is not defined (0 / 0) is left blank. The same seed gives the same tables.
"""

import random
import warnings

import numpy
import sklearn
import statsmodels
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa, fleiss_kappa

warnings.filterwarnings("ignore")
numpy.seterr(all="ignore")

SEED = 20261125


def written(table):
    return "/".join(" ".join(str(count) for count in row) for row in table)


def figure(value):
    return "" if value is None or not numpy.isfinite(value) else repr(float(value))


def cohen(table, weights):
    rows = [(one, other) for one, row in enumerate(table) for other, count in enumerate(row) for _ in range(count)]
    if not rows:
        return None
    one, other = zip(*rows)
    by_samples = cohen_kappa_score(one, other, labels=list(range(len(table))), weights=weights)
    by_table = cohens_kappa(numpy.array(table), wt=weights, return_results=False)
    # One class alone: 0 / 0, which rounding may hide.
    if len(set(one) | set(other)) < 2:
        return None
    assert abs(by_samples - by_table) < 1e-12, (table, by_samples, by_table)
    return by_samples


def fleiss(table):
    if sum(1 for column in zip(*table) if sum(column)) < 2:
        return None
    return fleiss_kappa(numpy.array(table))


def two_people(draw):
    yield "the textbook table", [[20, 5], [10, 15]]
    yield "a rare event", [[1, 1], [1, 57]]
    yield "three ordered classes", [[22, 3, 0], [2, 9, 1], [0, 1, 2]]
    yield "nothing judged", [[0, 0], [0, 0]]
    yield "one class alone", [[12, 0], [0, 0]]
    yield "one class alone of four", [[0, 0, 0, 0], [0, 0, 0, 0], [0, 0, 7, 0], [0, 0, 0, 0]]
    yield "one person used one class", [[50, 10], [0, 0]]
    yield "a class nobody used", [[5, 0, 2], [0, 0, 0], [1, 0, 9]]
    yield "full agreement", [[3, 0, 0, 0], [0, 4, 0, 0], [0, 0, 5, 0], [0, 0, 0, 6]]
    yield "full reversal", [[0, 5], [5, 0]]
    yield "chance", [[5, 5], [5, 5]]
    yield "one judgement each way", [[0, 1], [1, 0]]
    yield "large counts", [[40000, 123], [77, 39000]]
    for number in range(24):
        size = draw.randint(2, 5)
        most = draw.choice([1, 2, 5, 20, 100])
        lean = draw.random() < 0.6
        yield f"random {number + 1}", [
            [draw.randint(0, most) + (most if lean and one == other else 0) for other in range(size)] for one in range(size)
        ]


def several_people(draw):
    yield "the worked example in the open encyclopaedia", [
        [0, 0, 0, 0, 14], [0, 2, 6, 4, 2], [0, 0, 3, 5, 6], [0, 3, 9, 2, 0], [2, 2, 8, 1, 1],
        [7, 7, 0, 0, 0], [3, 2, 6, 3, 0], [2, 5, 3, 2, 2], [6, 5, 2, 1, 0], [0, 2, 2, 3, 7],
    ]
    yield "full agreement", [[4, 0], [0, 4], [4, 0]]
    yield "one class alone", [[4, 0], [4, 0], [4, 0]]
    yield "two people who never agree", [[1, 1], [1, 1]]
    yield "one subject", [[3, 2]]
    yield "one subject, full agreement", [[0, 5]]
    yield "a class nobody used", [[2, 0, 1], [1, 0, 2], [3, 0, 0]]
    for number in range(20):
        people, classes, subjects = draw.randint(2, 9), draw.randint(2, 5), draw.randint(1, 30)
        weights = [draw.random() ** 2 for _ in range(classes)]
        table = []
        for _ in range(subjects):
            row = [0] * classes
            liked = draw.randrange(classes)
            for _ in range(people):
                row[liked if draw.random() < 0.4 else draw.choices(range(classes), weights)[0]] += 1
            table.append(row)
        yield f"random {number + 1}", table


draw = random.Random(SEED)
print(f"# scikit-learn {sklearn.__version__}, statsmodels {statsmodels.__version__}, numpy {numpy.__version__}; seed {SEED}; made by agreement.py")
print("people,name,table,kappa,linear_weighted")
for name, table in two_people(draw):
    print(f'two,"{name}",{written(table)},{figure(cohen(table, None))},{figure(cohen(table, "linear"))}')
for name, table in several_people(draw):
    print(f'several,"{name}",{written(table)},{figure(fleiss(table))},')
