"""Partial rank correlations by another way than the program's: least-squares fits to the ranks of the other
inputs, and Pearson's correlation of what they leave. pip install numpy scipy; writes partial_ranks.csv."""
import numpy
import scipy.stats

draw = numpy.random.default_rng(12)
inputs = numpy.column_stack([draw.normal(size=40), draw.uniform(size=40), draw.lognormal(size=40)])
inputs[:, 2] += 0.6 * inputs[:, 0]
answers = 3.0 * inputs[:, 0] - 2.0 * inputs[:, 1] ** 2 + 0.3 * draw.normal(size=40)
table = numpy.column_stack([inputs, answers]).round(6)
ranks = numpy.apply_along_axis(scipy.stats.rankdata, 0, table)


def left(values, others):
    others = numpy.column_stack([numpy.ones(len(values)), others])
    return values - others @ numpy.linalg.lstsq(others, values, rcond=None)[0]


partial = []
for at in range(3):
    others = numpy.delete(ranks[:, :3], at, axis=1)
    partial.append(scipy.stats.pearsonr(left(ranks[:, at], others), left(ranks[:, 3], others))[0])
with open("partial_ranks.csv", "w") as out:
    out.write("first,second,third,answer\n")
    for row in table:
        out.write(",".join(f"{value:.6f}" for value in row) + "\n")
    out.write("partial," + ",".join(f"{value:.12f}" for value in partial) + "\n")
