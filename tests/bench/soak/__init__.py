"""The program under kill -9: nothing lost, nothing done twice, next to nothing said twice."""
