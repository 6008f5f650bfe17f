"""The central colours of the 267 blocks of the ISCC–NBS method of naming colours, as data.

Names and Munsell notations: K. L. Kelly, Central notations for the revised ISCC–NBS color-name
blocks, Journal of Research of the National Bureau of Standards 61(5), Research Paper 2911 (1958),
as transcribed with the R package munsellinterpol. The blocks themselves: K. L. Kelly and D. B.
Judd, The ISCC–NBS method of designating colors and a dictionary of color names, NBS Circular 553
(1955). Spelling is British here: grey, greyish.

L*a*b* (D65, 2°) was worked out from the notations: Munsell renotation as held by colour-science
0.4.7, lightness by ASTM D1535, white changed from C to D65 by Bradford. Below value 1, where the
renotation ends, the chromaticity is that of value 1.
"""

from __future__ import annotations

#: One centroid a line: number | name | Munsell notation | L* a* b*.
CENTROIDS = """
1 | vivid pink | 1.5R 7/13 | 70.7 56.1 17.1
2 | strong pink | 1.5R 7.5/9.1 | 75.6 38.7 12.3
3 | deep pink | 1.9R 6.0/11.1 | 60.9 47.0 14.9
4 | light pink | 2.5R 8.6/5.2 | 86.3 21.7 8.4
5 | moderate pink | 2.5R 7.2/5.2 | 72.8 21.0 7.8
6 | dark pink | 2.5R 6.0/6.0 | 61.0 25.4 9.1
7 | pale pink | 2.5R 8.8/2.3 | 88.2 7.4 2.8
8 | greyish pink | 2.5R 7.2/2.3 | 72.8 8.3 3.1
9 | pinkish white | 7.6R 9.2/1.0 | 92.1 2.5 1.8
10 | pinkish grey | 7.6R 7.5/1.0 | 75.7 3.4 2.3
11 | vivid red | 5R 4/15 | 40.5 65.4 31.6
12 | strong red | 4.0R 4.5/12.0 | 45.8 53.8 22.0
13 | deep red | 5.0R 2.8/9.9 | 28.2 47.7 17.5
14 | very deep red | 5.0R 1.4/9.0 | 14.2 44.1 3.7
15 | moderate red | 4.0R 4.5/9.1 | 45.8 41.3 16.9
16 | dark red | 4.5R 2.8/6.8 | 28.2 33.2 11.4
17 | very dark red | 3.5R 1.2/4.9 | 12.3 25.7 0.2
18 | light greyish red | 4.9R 6.0/3.4 | 61.0 13.9 6.6
19 | greyish red | 4.6R 4.5/4.7 | 45.9 21.8 9.7
20 | dark greyish red | 3.5R 2.7/2.2 | 27.3 12.2 3.3
21 | blackish red | 3.5R 1.1/1.6 | 11.4 10.3 0.3
22 | reddish grey | 6.5R 5.5/1.1 | 56.0 4.5 2.5
23 | dark reddish grey | 6.0R 3.5/1.1 | 35.5 5.9 2.7
24 | reddish black | 6.0R 0.9/0.8 | 9.4 5.0 0.7
25 | vivid yellowish pink | 8.0R 7/13 | 70.8 51.5 41.2
26 | strong yellowish pink | 8.0R 7.5/9.0 | 75.7 36.0 28.0
27 | deep yellowish pink | 5.6R 6.0/12.4 | 60.9 51.4 28.6
28 | light yellowish pink | 0.7YR 8.6/4.8 | 86.3 17.6 19.1
29 | moderate yellowish pink | 0.7YR 7.2/4.8 | 72.8 17.2 17.9
30 | dark yellowish pink | 7.0R 6.0/6.0 | 61.0 24.2 15.6
31 | pale yellowish pink | 2.1YR 8.8/2.2 | 88.2 6.5 8.2
32 | greyish yellowish pink | 0.5YR 7.2/2.3 | 72.8 7.9 7.6
33 | brownish pink | 6.5YR 7.2/2.2 | 72.8 5.3 11.8
34 | vivid reddish orange | 9.5R 5.5/15.5 | 55.9 57.7 60.1
35 | strong reddish orange | 9.5R 5.5/12.0 | 56.0 46.6 44.9
36 | deep reddish orange | 9.5R 4.0/12.0 | 40.6 47.2 43.5
37 | moderate reddish orange | 9.5R 5.5/9.1 | 56.0 35.9 32.6
38 | dark reddish orange | 9.5R 4.0/9.1 | 40.7 37.2 31.7
39 | greyish reddish orange | 0.5YR 5.5/6.0 | 56.0 23.0 22.6
40 | strong reddish brown | 0.5YR 3.0/11.2 | 30.3 45.4 43.3
41 | deep reddish brown | 9.8R 1.5/7.5 | 15.2 36.3 15.5
42 | light reddish brown | 0.5YR 5.5/4.1 | 56.0 15.8 15.1
43 | moderate reddish brown | 9.6R 3.4/5.2 | 34.5 23.6 17.6
44 | dark reddish brown | 9.5R 1.3/3.6 | 13.3 19.7 7.5
45 | light greyish reddish brown | 3.0YR 5.5/2.3 | 56.0 8.0 10.0
46 | greyish reddish brown | 9.9R 3.4/2.3 | 34.5 11.2 8.1
47 | dark greyish reddish brown | 9.5R 2.0/2.0 | 20.2 9.8 5.3
48 | vivid orange | 4.5YR 6.6/16 | 66.9 39.4 86.9
49 | brilliant orange | 4.5YR 8.0/12.1 | 80.5 32.4 63.2
50 | strong orange | 4.5YR 6.5/12.1 | 66.0 32.9 62.7
51 | deep orange | 4.5YR 5.0/12.1 | 51.0 32.6 62.7
52 | light orange | 4.5YR 8/8.1 | 80.5 22.7 41.6
53 | moderate orange | 4.6YR 6.5/8.1 | 66.0 23.1 40.7
54 | brownish orange | 4.5YR 5.0/8.2 | 51.0 24.6 41.5
55 | strong brown | 5.0YR 3.5/8 | 35.5 24.1 41.8
56 | deep brown | 5.0YR 2.1/6 | 21.2 20.1 28.9
57 | light brown | 5.5YR 5.5/4.6 | 56.1 13.1 23.7
58 | moderate brown | 5.5YR 3.5/3.9 | 35.5 12.8 20.2
59 | dark brown | 5.5YR 1.6/3.6 | 16.3 15.0 18.5
60 | light greyish brown | 6.5YR 5.5/2.2 | 56.1 6.0 11.8
61 | greyish brown | 5.6YR 3.5/2.0 | 35.5 7.0 10.6
62 | dark greyish brown | 5.5YR 2.0/1.7 | 20.2 6.1 7.4
63 | light brownish grey | 6.8YR 5.5/1.0 | 56.1 2.8 5.4
64 | brownish grey | 6.4YR 3.5/0.9 | 35.5 3.1 4.9
65 | brownish black | 7.5YR 0.8/0.8 | 8.3 3.1 3.8
66 | vivid orange yellow | 9.0YR 7.2/16 | 72.8 22.0 99.7
67 | brilliant orange yellow | 9.0YR 8.4/12.1 | 84.4 18.0 74.7
68 | strong orange yellow | 9.0YR 7.2/12.1 | 72.8 18.7 74.5
69 | deep orange yellow | 9.0YR 6.0/12.1 | 61.1 19.0 74.2
70 | light orange yellow | 9.0YR 8.6/8.1 | 86.3 12.3 51.0
71 | moderate orange yellow | 9.0YR 7.2/8.1 | 72.8 13.1 49.2
72 | dark orange yellow | 9.0YR 6.0/8.1 | 61.1 14.1 49.4
73 | pale orange yellow | 9.1YR 8.6/4.4 | 86.3 6.3 28.2
74 | strong yellowish brown | 9.0YR 4.6/9.6 | 46.9 16.8 59.0
75 | deep yellowish brown | 9.5YR 2.9/6 | 29.4 11.5 37.1
76 | light yellowish brown | 9.2YR 6.6/4.7 | 67.0 7.8 28.8
77 | moderate yellowish brown | 9.5YR 4.5/4.0 | 45.9 7.7 25.3
78 | dark yellowish brown | 9.5YR 2.2/3.7 | 22.2 8.0 21.5
79 | light greyish yellowish brown | 9.5YR 6.4/2.4 | 65.0 3.8 15.1
80 | greyish yellowish brown | 9.5YR 4.6/2.1 | 46.9 4.0 13.3
81 | dark greyish yellowish brown | 9.5YR 2.4/1.8 | 24.2 4.0 10.2
82 | vivid yellow | 4.0Y 7.8/14.5 | 78.7 2.2 99.5
83 | brilliant yellow | 4.0Y 8.8/9.5 | 88.3 -0.9 67.0
84 | strong yellow | 4.0Y 7.2/9.5 | 72.9 1.2 66.0
85 | deep yellow | 4.0Y 6.0/9.5 | 61.1 2.4 65.8
86 | light yellow | 4.0Y 8.8/6.6 | 88.3 -1.7 47.7
87 | moderate yellow | 4.0Y 7.2/6.6 | 72.9 -0.1 46.2
88 | dark yellow | 4.0Y 6.0/6.6 | 61.1 1.0 46.3
89 | pale yellow | 4.2Y 8.9/3.6 | 89.3 -2.2 27.5
90 | greyish yellow | 4.2Y 7.2/3.6 | 72.8 -1.2 26.0
91 | dark greyish yellow | 4.0Y 6.0/4.1 | 61.1 -0.2 28.8
92 | yellowish white | 4.1Y 9.2/1.3 | 92.2 -0.9 8.8
93 | yellowish grey | 4.1Y 7.5/1.3 | 75.7 -0.7 9.9
94 | light olive brown | 2.5Y 5.0/8.4 | 51.0 6.6 56.3
95 | moderate olive brown | 2.5Y 3.5/6 | 35.6 5.7 40.2
96 | dark olive brown | 2.5Y 1.8/2.5 | 18.3 3.2 16.8
97 | vivid greenish yellow | 9.5Y 7.8/14.5 | 78.8 -15.5 103.2
98 | brilliant greenish yellow | 9.5Y 8.8/9.5 | 88.4 -14.1 69.7
99 | strong greenish yellow | 9.5Y 7.2/9.5 | 72.9 -12.7 68.9
100 | deep greenish yellow | 9.5Y 6.0/9.5 | 61.2 -11.7 68.4
101 | light greenish yellow | 9.5Y 8.8/6.6 | 88.3 -11.4 49.5
102 | moderate greenish yellow | 9.5Y 7.2/6.6 | 72.9 -10.3 47.7
103 | dark greenish yellow | 9.5Y 6.0/6.6 | 61.1 -9.8 47.9
104 | pale greenish yellow | 9.5Y 8.9/4.1 | 89.3 -8.2 32.0
105 | greyish greenish yellow | 9.5Y 7.2/4.1 | 72.9 -7.5 30.3
106 | light olive | 8.1Y 5.1/8.0 | 52.1 -7.0 58.1
107 | moderate olive | 8.0Y 3.5/5.8 | 35.6 -4.6 41.3
108 | dark olive | 8.0Y 1.7/3.2 | 17.3 -2.2 23.2
109 | light greyish olive | 8.3Y 5.5/2.4 | 56.1 -3.7 17.6
110 | greyish olive | 8.1Y 3.5/2.3 | 35.6 -2.8 15.7
111 | dark greyish olive | 8.0Y 2.0/2.0 | 20.3 -1.8 11.3
112 | light olive grey | 7.4Y 5.5/1.3 | 56.1 -1.8 9.7
113 | olive grey | 8.1Y 3.5/1.0 | 35.6 -1.4 6.9
114 | olive black | 9.0Y 0.9/0.8 | 9.4 -1.0 4.7
115 | vivid yellow green | 5.0GY 7.5/14.5 | 75.9 -38.0 96.1
116 | brilliant yellow green | 5.0GY 8.5/9.1 | 85.5 -28.1 60.6
117 | strong yellow green | 5.0GY 6.0/9.1 | 61.2 -27.6 57.9
118 | deep yellow green | 5.0GY 4.0/9.1 | 40.9 -26.1 58.1
119 | light yellow green | 5.0GY 8.6/5.2 | 86.4 -17.7 36.0
120 | moderate yellow green | 5.0GY 6.0/5.2 | 61.1 -17.3 32.5
121 | pale yellow green | 3.5GY 8.7/2.2 | 87.3 -7.6 17.5
122 | greyish yellow green | 4.4GY 6.1/2.2 | 62.1 -7.8 14.6
123 | strong olive green | 5.0GY 3.2/7.8 | 32.6 -23.4 48.7
124 | deep olive green | 5.0GY 2.4/7.1 | 24.4 -23.0 42.5
125 | moderate olive green | 5.0GY 3.5/5.2 | 35.6 -16.9 30.3
126 | dark olive green | 5.0GY 1.8/3.7 | 18.3 -12.8 20.0
127 | greyish olive green | 5.0GY 3.5/2.2 | 35.6 -7.4 12.0
128 | dark greyish olive green | 5.0GY 2.0/2.0 | 20.3 -5.3 7.9
129 | vivid yellowish green | 0.5G 7/15.5 | 71.1 -73.3 58.7
130 | brilliant yellowish green | 0.5G 8.0/9.1 | 80.7 -44.6 36.1
131 | strong yellowish green | 0.5G 5.5/9.1 | 56.2 -45.1 34.0
132 | deep yellowish green | 0.5G 3.5/11.5 | 35.7 -56.8 38.9
133 | very deep yellowish green | 0.5G 2.0/9.2 | 20.4 -43.5 25.6
134 | very light yellowish green | 0.5G 9.1/5.1 | 91.3 -26.7 21.4
135 | light yellowish green | 0.5G 7.5/5.1 | 75.8 -26.2 20.6
136 | moderate yellowish green | 0.5G 5.5/5.1 | 56.1 -25.6 19.0
137 | dark yellowish green | 0.5G 3.5/5.1 | 35.6 -24.9 17.3
138 | very dark yellowish green | 0.5G 1.5/4.9 | 15.4 -26.4 14.5
139 | vivid green | 6.5G 5.2/18 | 53.2 -99.6 16.7
140 | brilliant green | 6.0G 7.4/9.1 | 74.9 -49.4 14.4
141 | strong green | 6.0G 4.5/9.1 | 46.0 -50.2 11.9
142 | deep green | 6.0G 2.3/9.1 | 23.3 -46.4 8.5
143 | very light green | 6.0G 8.6/5.1 | 86.4 -30.7 10.1
144 | light green | 6.0G 6.5/5.1 | 66.1 -28.3 8.7
145 | moderate green | 6.0G 4.5/5.1 | 46.0 -27.8 7.7
146 | dark green | 6.0G 2.7/5.0 | 27.4 -25.3 6.1
147 | very dark green | 6.0G 1.3/4.9 | 13.5 -28.4 5.3
148 | very pale green | 9.0G 8.7/1.8 | 87.3 -11.8 2.6
149 | pale green | 9.0G 6.5/1.8 | 66.0 -10.5 2.1
150 | greyish green | 9.0G 4.5/1.8 | 45.9 -9.5 1.6
151 | dark greyish green | 9.0G 2.8/1.6 | 28.3 -7.3 1.0
152 | blackish green | 9.0G 1.1/1.4 | 11.4 -5.8 0.6
153 | greenish white | 7.0G 9.2/0.8 | 92.1 -4.5 1.4
154 | light greenish grey | 7.0G 7.5/0.8 | 75.7 -5.0 1.5
155 | greenish grey | 7.0G 5.5/0.8 | 56.1 -4.5 1.3
156 | dark greenish grey | 7.0G 3.5/0.8 | 35.6 -4.0 1.0
157 | greenish black | 7.5G 0.9/0.7 | 9.4 -2.8 0.5
158 | vivid bluish green | 4.5BG 5.3/15.5 | 54.2 -80.1 -11.3
159 | brilliant bluish green | 4.5BG 7.3/9.0 | 73.9 -46.5 -3.6
160 | strong bluish green | 4.5BG 4.5/9.0 | 46.0 -46.5 -7.4
161 | deep bluish green | 4.5BG 2.3/9.0 | 23.3 -43.2 -9.6
162 | very light bluish green | 4.5BG 8.5/5.0 | 85.4 -28.2 -0.9
163 | light bluish green | 4.5BG 6.5/5.0 | 66.0 -26.1 -2.2
164 | moderate bluish green | 4.5BG 4.5/5.0 | 46.0 -25.4 -3.7
165 | dark bluish green | 4.5BG 2.7/5.0 | 27.3 -23.4 -4.9
166 | very dark bluish green | 4.5BG 1.3/4.9 | 13.4 -24.9 -6.7
167 | vivid greenish blue | 4.5B 5.2/13 | 53.0 -40.6 -42.1
168 | brilliant greenish blue | 4.5B 6.8/9.0 | 68.9 -29.6 -27.2
169 | strong greenish blue | 4.5B 4.5/9.0 | 45.9 -27.6 -30.1
170 | deep greenish blue | 4.5B 2.5/9.0 | 25.2 -25.5 -32.8
171 | very light greenish blue | 4.5B 8.2/5.2 | 82.5 -19.1 -15.0
172 | light greenish blue | 4.5B 6.5/5.2 | 66.0 -17.6 -15.2
173 | moderate greenish blue | 4.5B 4.5/5.2 | 45.9 -16.4 -16.9
174 | dark greenish blue | 4.5B 2.7/5.0 | 27.3 -14.6 -17.9
175 | very dark greenish blue | 4.5B 1.3/4.9 | 13.4 -12.9 -18.6
176 | vivid blue | 3.0PB 4.2/15 | 42.6 -0.9 -61.1
177 | brilliant blue | 3.0PB 6.4/11.0 | 64.9 -5.3 -44.1
178 | strong blue | 3.0PB 4.2/11.0 | 42.7 -2.3 -44.7
179 | deep blue | 3.0PB 2.0/9.0 | 20.1 2.0 -39.5
180 | very light blue | 2.4PB 8.2/7.2 | 82.4 -7.5 -28.9
181 | light blue | 2.7PB 6.5/7.3 | 65.9 -5.0 -28.0
182 | moderate blue | 2.9PB 4.2/7.2 | 42.7 -2.7 -29.7
183 | dark blue | 2.8PB 1.7/5.0 | 17.2 -0.1 -22.8
184 | very pale blue | 0.9PB 8.4/3.0 | 84.4 -4.7 -10.1
185 | pale blue | 0.9PB 6.5/3.0 | 66.0 -4.2 -10.3
186 | greyish blue | 0.9PB 4.2/3.0 | 42.8 -3.7 -12.0
187 | dark greyish blue | 9.5B 2.6/1.9 | 26.3 -3.2 -8.4
188 | blackish blue | 9.5B 1.1/1.5 | 11.4 -2.0 -7.0
189 | bluish white | 9.5B 9.1/1.0 | 91.2 -1.8 -2.5
190 | light bluish grey | 9.5B 7.5/1.0 | 75.7 -1.8 -3.0
191 | bluish grey | 9.5B 5.5/1.0 | 56.0 -1.8 -3.5
192 | dark bluish grey | 9.5B 3.5/1.0 | 35.5 -1.7 -4.3
193 | bluish black | 9.5B 1.0/0.7 | 10.4 -0.8 -3.2
194 | vivid purplish blue | 8.0PB 2.5/22 | 24.6 66.4 -79.7
195 | brilliant purplish blue | 8.0PB 6.0/10.8 | 60.9 15.1 -41.2
196 | strong purplish blue | 8.0PB 4.1/11.4 | 41.6 20.4 -45.2
197 | deep purplish blue | 8.0PB 1.6/9.1 | 16.1 24.2 -38.1
198 | very light purplish blue | 7.0PB 7.8/6.1 | 78.5 4.1 -23.9
199 | light purplish blue | 7.5PB 6.0/6.8 | 61.0 7.3 -26.0
200 | moderate purplish blue | 8.0PB 3.5/6.9 | 35.4 12.7 -29.7
201 | dark purplish blue | 7.9PB 1.1/4.7 | 11.3 11.1 -21.1
202 | very pale purplish blue | 7.0PB 8.2/4.1 | 82.4 2.3 -15.0
203 | pale purplish blue | 7.0PB 6.0/4.1 | 61.0 3.1 -15.1
204 | greyish purplish blue | 7.2PB 3.3/4.0 | 33.4 5.8 -18.7
205 | vivid violet | 1.0P 2.7/21 | 26.7 70.5 -69.5
206 | brilliant violet | 1.0P 5.9/11.1 | 59.9 25.6 -39.3
207 | strong violet | 1.0P 3.5/11.1 | 35.3 32.2 -41.3
208 | deep violet | 1.0P 1.4/10.3 | 14.1 35.1 -37.0
209 | very light violet | 1.0P 7.9/7 | 79.5 14.2 -25.9
210 | light violet | 1.0P 6.0/7.2 | 60.9 15.1 -25.4
211 | moderate violet | 1.0P 3.5/7.2 | 35.4 20.2 -28.3
212 | dark violet | 1.0P 1.3/5.0 | 13.3 16.7 -20.5
213 | very pale violet | 1.0P 8.2/4.1 | 82.4 6.9 -13.7
214 | pale violet | 1.0P 6.0/4.1 | 61.0 7.9 -14.0
215 | greyish violet | 1.0P 3.3/4.1 | 33.4 11.8 -17.7
216 | vivid purple | 6.0P 3.5/20 | 35.1 74.5 -55.2
217 | brilliant purple | 6.0P 6.7/11.1 | 67.8 35.4 -30.5
218 | strong purple | 6.0P 4.5/11.1 | 45.7 38.1 -31.4
219 | deep purple | 6.0P 2.8/10.2 | 28.1 39.5 -31.1
220 | very deep purple | 6.0P 1.2/10.2 | 12.2 40.1 -29.8
221 | very light purple | 6.0P 8.0/7.2 | 80.4 21.6 -19.8
222 | light purple | 6.0P 6.5/7.2 | 65.9 22.1 -19.6
223 | moderate purple | 6.0P 4.5/7.2 | 45.8 24.7 -21.1
224 | dark purple | 6.0P 2.7/5.1 | 27.2 20.0 -16.8
225 | very dark purple | 6.0P 1.1/4.9 | 11.3 20.4 -16.4
226 | very pale purple | 5.4P 8.4/3.3 | 84.3 7.9 -8.6
227 | pale purple | 6.8P 6.4/3.0 | 65.0 9.1 -7.1
228 | greyish purple | 7.8P 4.5/2.9 | 45.9 11.0 -7.7
229 | dark greyish purple | 10.0P 2.8/2.0 | 28.3 10.3 -5.8
230 | blackish purple | 10.0P 1.0/1.4 | 10.4 7.6 -5.0
231 | purplish white | 9.0P 9.1/1.0 | 91.1 2.1 -1.1
232 | light purplish grey | 9.0P 7.5/1.0 | 75.7 2.6 -1.4
233 | purplish grey | 10.0P 5.5/1.0 | 56.0 3.5 -1.7
234 | dark purplish grey | 10.0P 3.5/1.0 | 35.5 4.8 -2.6
235 | purplish black | 10.0P 1.0/0.7 | 10.4 3.6 -2.4
236 | vivid reddish purple | 1.0RP 4/19 | 40.4 77.5 -34.9
237 | strong reddish purple | 1.0RP 4.5/11.1 | 45.7 45.4 -19.9
238 | deep reddish purple | 1.0RP 2.8/10.3 | 28.1 45.5 -22.1
239 | very deep reddish purple | 1.0RP 1.3/10.3 | 13.1 43.9 -25.0
240 | light reddish purple | 1.0RP 6.0/7.2 | 60.9 27.4 -11.1
241 | moderate reddish purple | 1.0RP 4.5/7.2 | 45.8 30.1 -13.0
242 | dark reddish purple | 1.0RP 2.7/5.1 | 27.2 23.3 -11.3
243 | very dark reddish purple | 1.0RP 1.1/5.0 | 11.3 22.9 -13.5
244 | pale reddish purple | 1.0RP 6.0/4.1 | 61.0 14.9 -6.0
245 | greyish reddish purple | 1.0RP 4.5/4.1 | 45.8 17.2 -7.4
246 | brilliant purplish pink | 4.0RP 7.9/11 | 79.4 46.8 -6.6
247 | strong purplish pink | 4.0RP 7/14.5 | 70.7 60.6 -10.1
248 | deep purplish pink | 4.0RP 6.0/12.0 | 60.9 49.1 -8.6
249 | light purplish pink | 4.0RP 8.3/7.1 | 83.3 29.4 -3.7
250 | moderate purplish pink | 4.0RP 7.0/7.1 | 70.8 28.7 -4.1
251 | dark purplish pink | 6.0RP 6.0/7.2 | 61.0 30.0 -0.6
252 | pale purplish pink | 4.0RP 8.5/3.5 | 85.3 12.3 -1.4
253 | greyish purplish pink | 4.0RP 7.0/3.5 | 70.8 12.7 -1.7
254 | vivid purplish red | 7.0RP 4/17 | 40.5 75.1 -4.4
255 | strong purplish red | 7.0RP 4.5/11.9 | 45.7 53.8 -1.1
256 | deep purplish red | 7.0RP 2.8/11.0 | 28.1 52.5 -6.6
257 | very deep purplish red | 7.0RP 1.3/9.0 | 13.2 42.0 -13.3
258 | moderate purplish red | 7.0RP 4.5/9.0 | 45.8 41.1 -0.2
259 | dark purplish red | 7.0RP 2.7/6.3 | 27.2 30.9 -3.4
260 | very dark purplish red | 7.0RP 1.2/4.9 | 12.3 24.7 -7.7
261 | light greyish purplish red | 7.0RP 6.0/4.0 | 61.0 16.1 0.8
262 | greyish purplish red | 7.0RP 4.5/5.2 | 45.8 24.1 0.3
263 | white | 3.0Y 9.25/0.06 | 92.6 0.0 0.4
264 | light grey | 3.0Y 7.5/0.06 | 75.7 0.0 0.5
265 | medium grey | 3.0Y 5.5/0.06 | 56.1 0.0 0.4
266 | dark grey | N 3.5 | 35.5 0.0 0.0
267 | black | N 1.25 | 12.9 0.0 0.0
"""

#: The blocks of the neutrals, the lightest first: number | name | from L* | how far from the grey
#: axis, C*ab at hue angles of 0°, 30° … 330°. They reach from Munsell value 8.5, 6.5, 4.5, 2.5 and
#: 0 upwards, and to Munsell chroma 0.5 all round: the charts of K. L. Kelly and D. B. Judd, Color:
#: Universal Language and Dictionary of Names, NBS Special Publication 440 (1976), section 13, as
#: transcribed with the public-domain iscc-nbs-colors. L*a*b* worked out as above, the distance at
#: value 9, 7.5, 5.5, 3.5 and 1.25.
NEUTRALS = """
263 | white | 85.4 | 1.4 1.7 2.6 3.9 4.6 3.9 3.1 2.3 1.6 1.4 1.4 1.3
264 | light grey | 66.0 | 1.6 2.0 2.8 3.7 4.1 3.6 2.9 2.2 1.7 1.5 1.6 1.5
265 | medium grey | 45.9 | 2.0 2.4 3.0 3.6 3.8 3.3 2.7 2.3 2.0 1.8 2.0 2.0
266 | dark grey | 25.3 | 2.7 3.1 3.3 3.4 3.4 2.8 2.4 2.3 2.3 2.4 2.6 2.7
267 | black | 0.0 | 3.2 3.5 3.6 3.6 2.8 2.3 2.1 2.1 2.3 2.5 2.9 3.1
"""
