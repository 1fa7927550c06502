"""Patio ceilings whose edge bends, invented: a bow front that tapers before a straight wall, and a court."""

BOW = """format = 1
name = "Bow front, invented"
[place]
elevation = "1200 ft"
climate = "el-paso"
bearing = "160 deg"
[[patio]]
name = "bow"
depth = "8 ft"
height = "10 ft"
[patio.plaster]
joints = "propose"
[[patio.run]]
name = "A"
length = "8 ft"
depth_at_end = "11 ft"
then = "outside bend"
bend = "15 deg"
[[patio.run]]
name = "B"
length = "8 ft"
depth = "11 ft"
then = "outside bend"
bend = "15 deg"
[[patio.run]]
name = "C"
length = "8 ft"
depth = "11 ft"
depth_at_end = "8 ft"
[[patio.obstacle]]
name = "L1"
kind = "light"
run = "A"
along = "7 ft"
back = "3 ft"
[[patio.obstacle]]
name = "Fan"
kind = "fan"
run = "B"
along = "4 ft"
back = "6 ft"
size = "52 in"
[[patio.seat]]
name = "table"
run = "A"
along = "4 ft"
back = "4 ft"
"""

ARC = """format = 1
name = "Curved court, invented"
[place]
elevation = "1200 ft"
climate = "el-paso"
bearing = "200 deg"
[[patio]]
name = "arc"
depth = "10 ft"
height = "9 ft"
[[patio.run]]
name = "A"
length = "7 ft"
then = "inside bend"
bend = "12 deg"
[[patio.run]]
name = "B"
length = "6 ft"
then = "inside bend"
bend = "12 deg"
[[patio.run]]
name = "C"
length = "6 ft"
then = "inside bend"
bend = "12 deg"
[[patio.run]]
name = "D"
length = "6 ft"
then = "inside corner"
[[patio.run]]
name = "E"
length = "14 ft"
[[patio.obstacle]]
name = "L1"
kind = "light"
run = "C"
along = "3 ft"
back = "5 ft"
[[patio.seat]]
name = "bench"
run = "B"
along = "3 ft"
back = "6 ft"
"""
