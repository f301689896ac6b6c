"""Cell by cell: the printed tables a second time, transcribed apart from the files of the package.

Each line names the table, one of its columns (or rows) and every figure in it, as `head:figure`. Second-hand from
public references like the files themselves; what this finds is a slip of the hand in either of the two.
"""

import pytest

from pipeline.standards.table import Missing, load

PRINTED = """
iec_60364_5_52_2009/table_b_52_2 | column A1 2 | 1.5:14.5 2.5:19.5 4:26 6:34 10:46 16:61 25:80 35:99 50:119
iec_60364_5_52_2009/table_b_52_2 | column A2 2 | 1.5:14 2.5:18.5 4:25 6:32 10:43 16:57 25:75 35:92 50:110
iec_60364_5_52_2009/table_b_52_2 | column B1 2 | 1.5:17.5 2.5:24 4:32 6:41 10:57 16:76 25:101 35:125 50:151
iec_60364_5_52_2009/table_b_52_2 | column B2 2 | 1.5:16.5 2.5:23 4:30 6:38 10:52 16:69 25:90 35:111 50:133
iec_60364_5_52_2009/table_b_52_2 | column C 2 | 1.5:19.5 2.5:27 4:36 6:46 10:63 16:85 25:112 35:138 50:168
iec_60364_5_52_2009/table_b_52_2 | column D1 2 | 1.5:22 2.5:29 4:37 6:46 10:60 16:78 25:99 35:119 50:140
iec_60364_5_52_2009/table_b_52_2 | column D2 2 | 1.5:22 2.5:28 4:38 6:48 10:64 16:83 25:110 35:132 50:156
iec_60364_5_52_2009/table_b_52_10 | column E 2 | 1.5:22 2.5:30 4:40 6:51 10:70 16:94 25:119 35:148 50:180
iec_60364_5_52_2009/table_b_52_10 | column E 3 | 1.5:18.5 2.5:25 4:34 6:43 10:60 16:80 25:101 35:126 50:153
iec_60364_5_52_2009/table_b_52_4 | column A1 3 | 1.5:13.5 2.5:18 4:24 6:31 10:42 16:56 25:73 35:89 50:108
iec_60364_5_52_2009/table_b_52_4 | column A2 3 | 1.5:13 2.5:17.5 4:23 6:29 10:39 16:52 25:68 35:83 50:99
iec_60364_5_52_2009/table_b_52_4 | column B1 3 | 1.5:15.5 2.5:21 4:28 6:36 10:50 16:68 25:89 35:110 50:134
iec_60364_5_52_2009/table_b_52_4 | column B2 3 | 1.5:15 2.5:20 4:27 6:34 10:46 16:62 25:80 35:99 50:118
iec_60364_5_52_2009/table_b_52_4 | column C 3 | 1.5:17.5 2.5:24 4:32 6:41 10:57 16:76 25:96 35:119 50:144
iec_60364_5_52_2009/table_b_52_4 | column D1 3 | 1.5:18 2.5:24 4:30 6:38 10:50 16:64 25:82 35:98 50:116
iec_60364_5_52_2009/table_b_52_4 | column D2 3 | 1.5:19 2.5:24 4:33 6:41 10:54 16:70 25:92 35:110 50:130
iec_60364_5_52_2009/table_b_52_3 | column A1 2 | 1.5:19 2.5:26 4:35 6:45 10:61 16:81 25:106 35:131 50:158
iec_60364_5_52_2009/table_b_52_3 | column A2 2 | 1.5:18.5 2.5:25 4:33 6:42 10:57 16:76 25:99 35:121 50:145
iec_60364_5_52_2009/table_b_52_3 | column B1 2 | 1.5:23 2.5:31 4:42 6:54 10:75 16:100 25:133 35:164 50:198
iec_60364_5_52_2009/table_b_52_3 | column B2 2 | 1.5:22 2.5:30 4:40 6:51 10:69 16:91 25:119 35:146 50:175
iec_60364_5_52_2009/table_b_52_3 | column C 2 | 1.5:24 2.5:33 4:45 6:58 10:80 16:107 25:138 35:171 50:209
iec_60364_5_52_2009/table_b_52_3 | column D1 2 | 1.5:25 2.5:33 4:43 6:53 10:71 16:91 25:116 35:139 50:164
iec_60364_5_52_2009/table_b_52_3 | column D2 2 | 1.5:27 2.5:35 4:46 6:58 10:77 16:100 25:129 35:155 50:183
iec_60364_5_52_2009/table_b_52_12 | column E 2 | 1.5:26 2.5:36 4:49 6:63 10:86 16:115 25:149 35:185 50:225
iec_60364_5_52_2009/table_b_52_12 | column E 3 | 1.5:23 2.5:32 4:42 6:54 10:75 16:100 25:127 35:158 50:192
iec_60364_5_52_2009/table_b_52_5 | column A1 3 | 1.5:17 2.5:23 4:31 6:40 10:54 16:73 25:95 35:117 50:141
iec_60364_5_52_2009/table_b_52_5 | column A2 3 | 1.5:16.5 2.5:22 4:30 6:38 10:51 16:68 25:89 35:109 50:130
iec_60364_5_52_2009/table_b_52_5 | column B1 3 | 1.5:20 2.5:28 4:37 6:48 10:66 16:88 25:117 35:144 50:175
iec_60364_5_52_2009/table_b_52_5 | column B2 3 | 1.5:19.5 2.5:26 4:35 6:44 10:60 16:80 25:105 35:128 50:154
iec_60364_5_52_2009/table_b_52_5 | column C 3 | 1.5:22 2.5:30 4:40 6:52 10:71 16:96 25:119 35:147 50:179
iec_60364_5_52_2009/table_b_52_5 | column D1 3 | 1.5:21 2.5:28 4:36 6:44 10:58 16:75 25:96 35:115 50:135
iec_60364_5_52_2009/table_b_52_5 | column D2 3 | 1.5:23 2.5:30 4:39 6:49 10:65 16:84 25:107 35:129 50:153
bs_7671_2018_a2/table_4d5 | column A 2 | 1:11.5 1.5:14.5 2.5:20 4:26 6:32 10:44 16:57
bs_7671_2018_a2/table_4d5 | column C 2 | 1:16 1.5:20 2.5:27 4:37 6:47 10:64 16:85
bs_7671_2018_a2/table_4d5 | column 100 2 | 1:13 1.5:16 2.5:21 4:27 6:34 10:45 16:57
bs_7671_2018_a2/table_4d5 | column 101 2 | 1:10.5 1.5:13 2.5:17 4:22 6:27 10:36 16:46
bs_7671_2018_a2/table_4d5 | column 102 2 | 1:13 1.5:16 2.5:21 4:27 6:35 10:47 16:63
bs_7671_2018_a2/table_4d5 | column 103 2 | 1:8 1.5:10 2.5:13.5 4:17.5 6:23.5 10:32 16:42.5
bs_7671_2018_a2/table_4d5_drop | column 2 | 1:44 1.5:29 2.5:18 4:11 6:7.3 10:4.4 16:2.8
bs_7671_2018_a2/table_4d2a | column A 2 | 1:11 1.5:14 2.5:18.5 4:25 6:32 10:43 16:57
bs_7671_2018_a2/table_4d2a | column B 2 | 1:13 1.5:16.5 2.5:23 4:30 6:38 10:52 16:69
bs_7671_2018_a2/table_4d2a | column C 2 | 1:15 1.5:19.5 2.5:27 4:36 6:46 10:63 16:85
bs_7671_2018_a2/table_4d2a | column E 2 | 1:17 1.5:22 2.5:30 4:40 6:51 10:70 16:94
bs_7671_2018_a2/table_4d2a | column A 3 | 1:10 1.5:13 2.5:17.5 4:23 6:29 10:39 16:52
bs_7671_2018_a2/table_4d2a | column B 3 | 1:11.5 1.5:15 2.5:20 4:27 6:34 10:46 16:62
bs_7671_2018_a2/table_4d2a | column C 3 | 1:13.5 1.5:17.5 2.5:24 4:32 6:41 10:57 16:76
bs_7671_2018_a2/table_4d2a | column E 3 | 1:14.5 1.5:18.5 2.5:25 4:34 6:43 10:60 16:80
bs_7671_2018_a2/table_4d2b | column 2 | 1:44 1.5:29 2.5:18 4:11 6:7.3 10:4.4 16:2.8
bs_7671_2018_a2/table_4d2b | column 3 | 1:38 1.5:25 2.5:15 4:9.5 6:6.4 10:3.8 16:2.4
bs_7671_2018_a2/table_4e4a | column C 2 | 1.5:27 2.5:36 4:49 6:62 10:85 16:110 25:146 35:180 50:219
bs_7671_2018_a2/table_4e4a | column C 3 | 1.5:23 2.5:31 4:42 6:53 10:73 16:94 25:124 35:154 50:187
bs_7671_2018_a2/table_4e4a | column D 2 | 1.5:25 2.5:33 4:43 6:53 10:71 16:91 25:116 35:139 50:164
bs_7671_2018_a2/table_4e4a | column D 3 | 1.5:21 2.5:28 4:36 6:44 10:58 16:75 25:96 35:115 50:135
bs_7671_2018_a2/table_4e4a | column E 2 | 1.5:29 2.5:39 4:52 6:66 10:90 16:115 25:152 35:188 50:228
bs_7671_2018_a2/table_4e4a | column E 3 | 1.5:25 2.5:33 4:44 6:56 10:78 16:99 25:131 35:162 50:197
bs_7671_2018_a2/table_4e4b | column 2 | 1.5:31 2.5:19 4:12 6:7.9 10:4.7 16:2.9 25:1.9 35:1.35 50:1
bs_7671_2018_a2/table_4e4b | column 3 | 1.5:27 2.5:16 4:10 6:6.8 10:4 16:2.5 25:1.65 35:1.15 50:0.87
bs_7671_2018_a2/table_4d4a | column C 2 | 1.5:21 2.5:28 4:38 6:49 10:67 16:89 25:118 35:145 50:175
bs_7671_2018_a2/table_4d4a | column C 3 | 1.5:18 2.5:25 4:33 6:42 10:58 16:77 25:102 35:125 50:151
bs_7671_2018_a2/table_4d4a | column D 2 | 1.5:22 2.5:29 4:37 6:46 10:60 16:78 25:99 35:119 50:140
bs_7671_2018_a2/table_4d4a | column D 3 | 1.5:18 2.5:24 4:30 6:38 10:50 16:64 25:82 35:98 50:116
bs_7671_2018_a2/table_4d4a | column E 2 | 1.5:22 2.5:31 4:41 6:53 10:72 16:97 25:128 35:157 50:190
bs_7671_2018_a2/table_4d4a | column E 3 | 1.5:19 2.5:26 4:35 6:45 10:62 16:83 25:110 35:135 50:163
bs_7671_2018_a2/table_4d4b | column 2 | 1.5:29 2.5:18 4:11 6:7.3 10:4.4 16:2.8 25:1.75 35:1.25 50:0.94
bs_7671_2018_a2/table_4d4b | column 3 | 1.5:25 2.5:15 4:9.5 6:6.4 10:3.8 16:2.4 25:1.5 35:1.1 50:0.81
iec_60364_5_52_2009/table_b_52_14 | column 70 | 10:1.22 15:1.17 20:1.12 25:1.06 30:1
iec_60364_5_52_2009/table_b_52_14 | column 70 | 35:0.94 40:0.87 45:0.79 50:0.71 55:0.61 60:0.5
iec_60364_5_52_2009/table_b_52_14 | column 90 | 10:1.15 15:1.12 20:1.08 25:1.04 30:1
iec_60364_5_52_2009/table_b_52_14 | column 90 | 35:0.96 40:0.91 45:0.87 50:0.82 55:0.76 60:0.71
iec_60364_5_52_2009/table_b_52_15 | column 70 | 10:1.1 15:1.05 20:1 25:0.95 30:0.89
iec_60364_5_52_2009/table_b_52_15 | column 70 | 35:0.84 40:0.77 45:0.71 50:0.63 55:0.55 60:0.45
iec_60364_5_52_2009/table_b_52_15 | column 90 | 10:1.07 15:1.04 20:1 25:0.96 30:0.93
iec_60364_5_52_2009/table_b_52_15 | column 90 | 35:0.89 40:0.85 45:0.8 50:0.76 55:0.71 60:0.65
bs_7671_2018_a2/table_4b1 | column 70 | 25:1.03 30:1 35:0.94 40:0.87 45:0.79 50:0.71 55:0.61 60:0.5
bs_7671_2018_a2/table_4b1 | column 90 | 25:1.02 30:1 35:0.96 40:0.91 45:0.87 50:0.82 55:0.76 60:0.71
bs_7671_2018_a2/table_41_2 | column BS 88-2 | 6:7.8 10:4.65 16:2.43 20:1.68 25:1.29 32:0.99
bs_7671_2018_a2/table_41_2 | column BS 88-3 | 5:9.93 16:2.3 20:1.93 32:0.91
bs_7671_2018_a2/table_41_2 | column BS 3036 | 5:9.1 15:2.43 20:1.68 30:1.04
bs_7671_2018_a2/table_41_4 | column BS 88-2 | 6:12 10:6.8 16:4 20:2.8 25:2.2 32:1.7 40:1.3
bs_7671_2018_a2/table_41_4 | column BS 88-2 | 50:0.99 63:0.78 80:0.55 100:0.42 125:0.32 160:0.27 200:0.18
bs_7671_2018_a2/table_41_4 | column BS 88-3 | 5:14.6 16:3.9 20:3.2 32:1.6 45:1 63:0.68 80:0.51 100:0.38
bs_7671_2018_a2/table_41_4 | column BS 3036 | 5:16.8 15:5.08 20:3.64 30:2.51 45:1.51 60:1.07 100:0.5
iec_60228_2004/table_1_2 | column copper | 1:18.1 1.5:12.1 2.5:7.41 4:4.61 6:3.08 10:1.83
iec_60228_2004/table_1_2 | column copper | 16:1.15 25:0.727 35:0.524 50:0.387 70:0.268 95:0.193 120:0.153
iec_60364_5_52_2009/table_b_52_17 | row bunched | 1:1 2:0.8 3:0.7 4:0.65 5:0.6 6:0.57
iec_60364_5_52_2009/table_b_52_17 | row bunched | 7:0.54 8:0.52 9:0.5 12:0.45 16:0.41 20:0.38
iec_60364_5_52_2009/table_b_52_17 | row wall or floor | 1:1 2:0.85 3:0.79 4:0.75 5:0.73 6:0.72 7:0.72 8:0.71 9:0.7
iec_60364_5_52_2009/table_b_52_17 | row ceiling | 1:0.95 2:0.81 3:0.72 4:0.68 5:0.66 6:0.64 7:0.63 8:0.62 9:0.61
iec_60364_5_52_2009/table_b_52_17 | row perforated tray | 1:1 2:0.88 3:0.82 4:0.77 5:0.75 6:0.73 7:0.73 8:0.72 9:0.72
iec_60364_5_52_2009/table_b_52_17 | row ladder | 1:1 2:0.87 3:0.82 4:0.8 5:0.8 6:0.79 7:0.79 8:0.78 9:0.78
bs_7671_2018_a2/table_4c1 | row bunched | 1:1 2:0.8 3:0.7 4:0.65 5:0.6 6:0.57
bs_7671_2018_a2/table_4c1 | row bunched | 7:0.54 8:0.52 9:0.5 12:0.45 16:0.41 20:0.38
bs_7671_2018_a2/table_4c1 | row wall or floor | 1:1 2:0.85 3:0.79 4:0.75 5:0.73 6:0.72 7:0.72 8:0.71 9:0.7
bs_7671_2018_a2/table_4c1 | row ceiling | 1:0.95 2:0.81 3:0.72 4:0.68 5:0.66 6:0.64 7:0.63 8:0.62 9:0.61
bs_7671_2018_a2/table_4c1 | row perforated tray | 1:1 2:0.88 3:0.82 4:0.77 5:0.75 6:0.73 7:0.73 8:0.72 9:0.72
bs_7671_2018_a2/table_4c1 | row ladder | 1:1 2:0.87 3:0.82 4:0.8 5:0.8 6:0.79 7:0.79 8:0.78 9:0.78
iec_60364_5_52_2009/table_b_52_18 | row touching | 2:0.75 3:0.65 4:0.6 5:0.55 6:0.5
bs_7671_2018_a2/table_4c2 | row touching | 2:0.75 3:0.65 4:0.6 5:0.55 6:0.5
iec_60364_5_52_2009/table_b_52_19 | row touching | 2:0.85 3:0.75 4:0.7 5:0.65 6:0.6
bs_7671_2018_a2/table_4c3 | row touching | 2:0.85 3:0.75 4:0.7 5:0.65 6:0.6
"""
LINES = [line.split(" | ") for line in PRINTED.strip().splitlines()]


def _key(text):
    """The head of a row or column as the tables hold it."""
    try:
        return float(text)
    except ValueError:
        return text


@pytest.mark.parametrize(("name", "part", "figures"), LINES, ids=[f"{name} {part}" for name, part, _ in LINES])
def test_a_table_holds_what_is_printed(name, part, figures):
    table, (kind, _, head) = load(name), part.partition(" ")
    for each in figures.split():
        other, _, figure = each.rpartition(":")
        cell = (_key(head), _key(other)) if kind == "row" else (_key(other), _key(head))
        found = table.cell(*cell)
        assert not isinstance(found, Missing), cell
        assert found.quantity.magnitude == pytest.approx(float(figure), rel=1e-9), cell


def test_most_cells_of_the_package_are_looked_at():
    assert sum(len(figures.split()) for _, _, figures in LINES) > 750


# columns that are the same in both books: BS 7671 | column | IEC 60364-5-52 | column; 4D1A has 20 A for 2.5 mm², A
SAME = [
    line.split()
    for line in """
4d1a A_2 b_52_2 A1_2
4d1a B_2 b_52_2 B1_2
4d1a A_3 b_52_4 A1_3
4d1a B_3 b_52_4 B1_3
4e1a A_2 b_52_3 A1_2
4e1a B_2 b_52_3 B1_2
4e1a A_3 b_52_5 A1_3
4e1a B_3 b_52_5 B1_3
4e2a A_2 b_52_3 A2_2
4e2a B_2 b_52_3 B2_2
4e2a C_2 b_52_3 C_2
4e2a E_2 b_52_12 E_2
4e2a A_3 b_52_5 A2_3
4e2a B_3 b_52_5 B2_3
4e2a C_3 b_52_5 C_3
4e2a E_3 b_52_12 E_3
""".strip().splitlines()
]
APART = {("4d1a", "A 2", 2.5): 20.0}


@pytest.mark.parametrize(("ours", "column", "theirs", "other"), SAME)
def test_harmonised_columns_are_the_same_in_both_books(ours, column, theirs, other):
    here, there = load(f"bs_7671_2018_a2/table_{ours}"), load(f"iec_60364_5_52_2009/table_{theirs}")
    shared = [row for row in here.rows if not isinstance(there.cell(row, other.replace("_", " ")), Missing)]
    assert len(shared) >= 6
    for row in shared:
        expected = there.cell(row, other.replace("_", " ")).quantity.magnitude
        expected = APART.get((ours, column.replace("_", " "), row), expected)
        assert here.cell(row, column.replace("_", " ")).quantity.magnitude == expected, row


@pytest.mark.parametrize(("one", "other"), [("4d1b", "4d2b"), ("4d5_drop", "4d2b"), ("4e1b", "4e4b"), ("4e2b", "4e4b")])
def test_small_cables_drop_the_same_whatever_their_make(one, other):
    here, there = (load(f"bs_7671_2018_a2/table_{each}") for each in (one, other))
    for row in (1.5, 2.5, 4.0, 6.0, 10.0, 16.0):
        for column in here.columns:
            assert here.cell(row, column).quantity == there.cell(row, column).quantity, (row, column)
