"""LALR rows of `grammar.GRAMMAR` as `grammar.rows` gives them; a test compares the two."""

DIGEST = 1588220974
"""CRC-32 of the grammar that the rows belong to."""

ROWS = """\
AFTER>1 BEFORE>2 FACT>3 HET>4 LINE>5 NAME>6 PCTAFTER>7 PCTOWN>8 WORD>9 __head_star_1>10 __line_plus_3>11 \
__start_star_0>12 fact>13 gene>14 head>15 line>16 start>17 stray>18 words>19 start/0
stray/1
__head_star_1/1
fact/1
PCTOWN>20 head/1
stray/1
AFTER>21 LINE>22 PCTAFTER>23 __gene_star_2>24 gene/1
stray/1
stray/1
__line_plus_3/1
BEFORE>25 HET>26 NAME>27 WORD>9 __line_plus_3>28 stray/1
LINE>29 PCTAFTER>30 WORD>31 words/1
AFTER>1 BEFORE>2 FACT>3 HET>4 LINE>5 NAME>6 PCTAFTER>7 PCTOWN>8 WORD>9 __head_star_1>10 __line_plus_3>11 \
fact>32 gene>33 head>34 line>35 stray>36 words>37 start/1
__start_star_0/1
__start_star_0/1
__start_star_0/1
__start_star_0/1
accept
__start_star_0/1
__start_star_0/1
head/2
__gene_star_2/1
__gene_star_2/1
__gene_star_2/1
AFTER>38 LINE>39 PCTAFTER>40 gene/2
__head_star_1/2
PCTOWN>41 head/2
AFTER>21 LINE>22 PCTAFTER>23 __gene_star_2>42 gene/2
LINE>43 PCTAFTER>44 WORD>31 words/2
PCTAFTER>45 line/2
words/2
__line_plus_3/2
__start_star_0/2
__start_star_0/2
__start_star_0/2
__start_star_0/2
__start_star_0/2
__start_star_0/2
__gene_star_2/2
__gene_star_2/2
__gene_star_2/2
head/3
AFTER>38 LINE>39 PCTAFTER>40 gene/3
PCTAFTER>46 line/3
words/3
line/3
line/4
"""
"""One state for each line; see `grammar.rows`."""
